use super::entity::entity;
use super::header::unit;
use super::records::{Record, Section, sections};
use super::shape::{Drawn, drawn, placings};
use crate::drawing::error::DrawingError;
use crate::drawing::remark::{Element, Why};
use crate::drawing::sketch::{Gathered, Sketch};
use crate::io::limits::{DRAWING_DEPTH, OverLimit};
use dxf::entities::{EntityType, Insert};
use kurbo::{Affine, Vec2};
use std::collections::{HashMap, HashSet};
use std::rc::Rc;

/// Reads the text of a DXF file.
pub(in crate::drawing) fn read_dxf(bytes: &[u8]) -> Result<Sketch, DrawingError> {
    let text = decoded(bytes);
    let sections = sections(&text)?;
    let entities = sections.iter().find(|section| section.name() == "ENTITIES");
    let entities = entities.ok_or(DrawingError::NoEntities)?;
    let mut walk = Walk {
        hidden: hidden_layers(&sections),
        blocks: blocks(&sections),
        read: HashMap::new(),
        gathered: Gathered::default(),
    };
    walk.all(&entities.records, &Place::default())?;
    Ok(walk.gathered.sketch(unit(&sections)))
}

/// The text. Where it is not UTF-8 each byte counts as a letter: only names of layers and blocks hold
/// others than ASCII.
fn decoded(bytes: &[u8]) -> String {
    match str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(_) => bytes.iter().map(|byte| char::from(*byte)).collect(),
    }
}

/// Layers that are off or frozen.
fn hidden_layers<'a>(sections: &[Section<'a>]) -> HashSet<&'a str> {
    let tables = sections.iter().filter(|section| section.name() == "TABLES");
    let layers = tables.flat_map(|tables| &tables.records).filter(|r| r.kind == "LAYER");
    let hidden = layers.filter(|r| r.flag(1) || r.number(62).is_some_and(|colour| colour < 0.0));
    hidden.filter_map(|layer| layer.value(2)).collect()
}

/// A block: what an `INSERT` places.
struct Block<'a> {
    /// The point of it that comes to lie where it is placed.
    base: Vec2,
    /// Whether it stands for another file.
    elsewhere: bool,
    records: &'a [Record<'a>],
}

/// Blocks by their names, in capitals: DXF does not tell these from small letters.
fn blocks<'a>(sections: &'a [Section<'a>]) -> HashMap<String, Rc<Block<'a>>> {
    let mut blocks = HashMap::new();
    for section in sections.iter().filter(|section| section.name() == "BLOCKS") {
        for whole in section.records.split(|record| record.kind == "ENDBLK") {
            let Some(at) = whole.iter().position(|record| record.kind == "BLOCK") else { continue };
            let block = &whole[at];
            let at_base = |code| block.number(code).unwrap_or(0.0);
            let base = Vec2::new(at_base(10), at_base(20));
            let records = &whole[at + 1..];
            let read = Block { base, elsewhere: block.flag(4 | 8 | 32), records };
            blocks.insert(block.value(2).unwrap_or_default().to_uppercase(), Rc::new(read));
        }
    }
    blocks
}

/// Where the entities stand that are being looked at.
#[derive(Clone, Default)]
struct Place {
    map: Affine,
    /// The layer of the block's place: that of its entities on layer 0.
    layer: Option<String>,
    /// Names of the blocks they are within, the outermost first.
    within: Vec<String>,
}

/// An entity as it was read.
#[derive(Clone)]
enum Known {
    Drawn(Rc<Drawn>),
    Placed(Rc<Insert>),
    Nothing(Why),
}

struct Walk<'a> {
    hidden: HashSet<&'a str>,
    blocks: HashMap<String, Rc<Block<'a>>>,
    /// What was read already, by its line: a block may be placed often.
    read: HashMap<usize, Known>,
    gathered: Gathered,
}

impl Walk<'_> {
    fn all(&mut self, records: &[Record], place: &Place) -> Result<(), OverLimit> {
        DRAWING_DEPTH.check(place.within.len())?;
        let mut at = 0;
        while at < records.len() {
            let whole = 1 + belonging(&records[at..]);
            self.one(&records[at..at + whole], place)?;
            at += whole;
        }
        Ok(())
    }

    /// One entity: a record, and those that belong to it.
    fn one(&mut self, records: &[Record], place: &Place) -> Result<(), OverLimit> {
        self.gathered.look()?;
        let first = &records[0];
        if first.kind == "SEQEND" {
            return Ok(());
        }
        let own = first.value(8).unwrap_or("0");
        let layer = place.layer.as_deref().filter(|_| own == "0").unwrap_or(own);
        let element = Element {
            kind: first.kind.into(),
            id: first.value(5).unwrap_or_default().into(),
            layer: layer.into(),
            line: first.line,
        };
        let why = if first.value(67) == Some("1") {
            Why::OnPaper
        } else if first.value(60) == Some("1") || self.hidden.contains(layer) {
            Why::Hidden
        } else {
            let known = self.read.entry(first.line).or_insert_with(|| known(records)).clone();
            match known {
                Known::Drawn(drawn) => {
                    let curves = drawn.0.iter().map(|curve| curve.mapped(place.map)).collect();
                    return self.gathered.path(&element, curves, drawn.1);
                }
                Known::Placed(insert) => return self.insert(first, &insert, &element, place),
                Known::Nothing(why) => why,
            }
        };
        self.gathered.remark(&element, why);
        Ok(())
    }

    /// The entities of a block, once for each place.
    fn insert(
        &mut self,
        record: &Record,
        insert: &Insert,
        element: &Element,
        place: &Place,
    ) -> Result<(), OverLimit> {
        let said = record.value(2).unwrap_or_default();
        let name = said.to_uppercase();
        let block = self.blocks.get(&name).filter(|block| !block.elsewhere).cloned();
        let why = match block {
            None => Why::NoSuch(said.into()),
            Some(_) if place.within.contains(&name) => Why::WithinItself(said.into()),
            Some(block) => match placings(insert, block.base) {
                Err(why) => why,
                Ok(placings) => {
                    let mut inner = place.clone();
                    inner.within.push(name);
                    inner.layer = Some(element.layer.clone());
                    for map in placings {
                        self.gathered.look()?;
                        inner.map = place.map * map;
                        self.all(block.records, &inner)?;
                    }
                    return Ok(());
                }
            },
        };
        self.gathered.remark(element, why);
        Ok(())
    }
}

fn known(records: &[Record]) -> Known {
    match entity(records) {
        Err(why) => Known::Nothing(why),
        Ok(EntityType::Insert(insert)) => Known::Placed(Rc::new(insert)),
        Ok(entity) => match drawn(&entity) {
            Some(Ok(drawn)) => Known::Drawn(Rc::new(drawn)),
            Some(Err(why)) => Known::Nothing(why),
            None => Known::Nothing(Why::Kind),
        },
    }
}

/// How many records after the first belong to it: the vertices of a polyline, and the mark after them.
fn belonging(records: &[Record]) -> usize {
    if records[0].kind != "POLYLINE" {
        return 0;
    }
    let vertices = records[1..].iter().take_while(|record| record.kind == "VERTEX").count();
    let marked = records.get(1 + vertices).is_some_and(|record| record.kind == "SEQEND");
    vertices + usize::from(marked)
}
