use super::length::{Along, Viewport, length};
use super::lines::Lines;
use super::shape::shape;
use super::style::{in_style, is_clipped, property, sheet_matters};
use super::viewport::{inner, outermost, unit, view_box};
use crate::drawing::error::{DrawingError, SVG};
use crate::drawing::remark::{Element, Why};
use crate::drawing::sketch::{Gathered, Sketch};
use crate::io::limits::{DRAWING_DEPTH, DRAWING_ENTITIES, OverLimit};
use kurbo::{Affine, Vec2};
use roxmltree::{Document, Node, NodeId, ParsingOptions};
use std::collections::HashMap;
use svgtypes::Transform;

/// Elements that draw nothing themselves: what they hold is drawn where it is used, or not at all.
const SILENT: [&str; 16] = [
    "defs",
    "symbol",
    "title",
    "desc",
    "metadata",
    "script",
    "clipPath",
    "mask",
    "marker",
    "pattern",
    "filter",
    "linearGradient",
    "radialGradient",
    "view",
    "cursor",
    "font",
];

/// Reads the text of an SVG file.
pub(in crate::drawing) fn read_svg(bytes: &[u8]) -> Result<Sketch, DrawingError> {
    let text = str::from_utf8(bytes).map_err(|_| DrawingError::Kind("text that is not UTF-8"))?;
    // Elements, the text between them and comments are nodes.
    let nodes_limit = 4 * DRAWING_ENTITIES.most as u32;
    let options = ParsingOptions { allow_dtd: true, nodes_limit, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, options).map_err(|e| match e {
        roxmltree::Error::NodesLimitReached => DrawingError::from(too_many()),
        other => DrawingError::Xml(other.to_string()),
    })?;
    let svg = document.root_element();
    if svg.tag_name().name() != "svg" || svg.tag_name().namespace() != Some(SVG) {
        let space = svg.tag_name().namespace().map(|space| format!(" of {space}"));
        let found = format!("{}{}", svg.tag_name().name(), space.unwrap_or_default());
        return Err(DrawingError::NotSvg(found));
    }
    let view = view_box(svg).map_err(DrawingError::Xml)?;
    let named = document.descendants().filter_map(|n| Some((n.attribute("id")?, n.id())));
    let mut walk = Walk {
        ids: named.collect(),
        lines: Lines::new(text),
        document: &document,
        gathered: Gathered::default(),
    };
    let place = Place {
        // Y points downwards in the file.
        map: Affine::FLIP_Y,
        viewport: outermost(svg, view),
        layer: String::new(),
        hidden: property(svg, "display") == Some("none"),
        invisible: property(svg, "visibility").is_some_and(|v| v != "visible"),
        depth: 0,
        used: Vec::new(),
    };
    walk.children(svg, &place)?;
    Ok(walk.gathered.sketch(unit(svg, view)))
}

fn too_many() -> OverLimit {
    let over = DRAWING_ENTITIES.check(DRAWING_ENTITIES.most + 1);
    over.expect_err("more than the limit")
}

/// Where the elements stand that are being looked at.
#[derive(Clone)]
struct Place {
    /// To the drawing.
    map: Affine,
    viewport: Viewport,
    /// The id or label of the nearest group around.
    layer: String,
    /// Whether it is taken out of the drawing.
    hidden: bool,
    /// Whether it cannot be seen, unless an element within says that it can.
    invisible: bool,
    depth: usize,
    /// What is being used, the outermost first.
    used: Vec<NodeId>,
}

struct Walk<'a, 'input> {
    document: &'a Document<'input>,
    ids: HashMap<&'a str, NodeId>,
    lines: Lines,
    gathered: Gathered,
}

impl<'a, 'input> Walk<'a, 'input> {
    fn children(&mut self, node: Node<'a, 'input>, place: &Place) -> Result<(), OverLimit> {
        node.children().filter(Node::is_element).try_for_each(|child| self.one(child, place))
    }

    fn one(&mut self, node: Node<'a, 'input>, around: &Place) -> Result<(), OverLimit> {
        let name = node.tag_name().name();
        // Elements of other makers hold nothing that is drawn.
        if node.tag_name().namespace() != Some(SVG) || SILENT.contains(&name) {
            return Ok(());
        }
        self.gathered.look()?;
        DRAWING_DEPTH.check(around.depth)?;
        let element = self.element(node, around);
        if name == "style" {
            if node.text().is_some_and(sheet_matters) {
                self.gathered.remark(&element, Why::StyleSheet);
            }
            return Ok(());
        }
        let place = match inside(node, around) {
            Ok(place) => place,
            Err(problem) => return self.not_read(node, &element, problem),
        };
        if is_clipped(node) {
            self.gathered.remark(&element, Why::Clipped);
        }
        match name {
            "g" | "a" | "switch" => self.children(node, &place),
            "svg" => self.nested(node, &element, &place),
            "use" => self.used(node, &element, &place),
            "text" => {
                let why = if place.hidden || place.invisible { Why::Hidden } else { Why::Text };
                self.gathered.remark(&element, why);
                Ok(())
            }
            _ => self.shape(node, &element, &place),
        }
    }

    fn shape(
        &mut self,
        node: Node<'a, 'input>,
        element: &Element,
        place: &Place,
    ) -> Result<(), OverLimit> {
        let why = match shape(node, place.viewport) {
            None => Why::Kind,
            Some(_) if place.hidden || place.invisible => Why::Hidden,
            Some(Err(problem)) => Why::Broken(problem),
            Some(Ok(subpaths)) if subpaths.is_empty() => Why::NoLength,
            Some(Ok(subpaths)) => {
                for subpath in subpaths {
                    let curves = subpath.curves.iter().map(|c| c.mapped(place.map)).collect();
                    self.gathered.path(element, curves, subpath.closed)?;
                }
                return Ok(());
            }
        };
        self.gathered.remark(element, why);
        Ok(())
    }

    /// An element that cannot be read, and all that it holds.
    fn not_read(
        &mut self,
        node: Node<'a, 'input>,
        element: &Element,
        problem: String,
    ) -> Result<(), OverLimit> {
        let within = node.descendants().filter(Node::is_element).count() - 1;
        let more = if within == 0 { String::new() } else { format!("; it holds {within} more") };
        self.gathered.remark(element, Why::Broken(problem + &more));
        Ok(())
    }

    /// A drawing within the drawing.
    fn nested(
        &mut self,
        node: Node<'a, 'input>,
        element: &Element,
        place: &Place,
    ) -> Result<(), OverLimit> {
        let read = frame(node, place.viewport).and_then(|(at, size)| {
            let (map, viewport) = inner(node, size)?;
            Ok((at * map, viewport))
        });
        match read {
            Err(problem) => self.not_read(node, element, problem),
            Ok((map, viewport)) => {
                let within = Place { map: place.map * map, viewport, ..place.clone() };
                self.children(node, &within)
            }
        }
    }

    /// A copy of another element.
    fn used(
        &mut self,
        node: Node<'a, 'input>,
        element: &Element,
        place: &Place,
    ) -> Result<(), OverLimit> {
        const XLINK: &str = "http://www.w3.org/1999/xlink";
        let link = node.attribute("href").or_else(|| node.attribute((XLINK, "href")));
        let link = link.unwrap_or_default();
        let target = link.strip_prefix('#').and_then(|id| self.ids.get(id)).copied();
        let Some(target) = target.and_then(|id| self.document.get_node(id)) else {
            self.gathered.remark(element, Why::NoSuch(link.into()));
            return Ok(());
        };
        // Whatever holds the element itself would be used without end.
        if place.used.contains(&target.id()) || node.ancestors().any(|n| n == target) {
            self.gathered.remark(element, Why::WithinItself(link.into()));
            return Ok(());
        }
        let read = frame(node, place.viewport).and_then(|(at, size)| {
            let (map, viewport) = match target.tag_name().name() {
                "symbol" => inner(target, size)?,
                _ => (Affine::IDENTITY, place.viewport),
            };
            Ok((at * map, viewport))
        });
        let (map, viewport) = match read {
            Ok(read) => read,
            Err(problem) => return self.not_read(node, element, problem),
        };
        let mut within = Place { map: place.map * map, viewport, ..place.clone() };
        within.used.push(target.id());
        if target.tag_name().name() == "symbol" {
            self.children(target, &within)
        } else {
            self.one(target, &within)
        }
    }

    fn element(&self, node: Node, around: &Place) -> Element {
        Element {
            kind: node.tag_name().name().into(),
            id: node.attribute("id").unwrap_or_default().into(),
            layer: around.layer.clone(),
            line: self.lines.of(node.range().start),
        }
    }
}

/// Where an element puts what it holds, and its width and height: those around it, where it says none.
///
/// # Errors
/// If one of its lengths cannot be read.
fn frame(node: Node, around: Viewport) -> Result<(Affine, Viewport), String> {
    let said = |name, along| length(node, name, along, around);
    let x = said("x", Along::X)?.unwrap_or(0.0);
    let y = said("y", Along::Y)?.unwrap_or(0.0);
    let size = [said("width", Along::X)?, said("height", Along::Y)?];
    let size = [size[0].unwrap_or(around[0]), size[1].unwrap_or(around[1])];
    Ok((Affine::translate(Vec2::new(x, y)), size))
}

/// The place of what an element draws or holds.
///
/// # Errors
/// If it is moved by something that cannot be read.
fn inside(node: Node, around: &Place) -> Result<Place, String> {
    if in_style(node, "transform").is_some_and(|moved| moved != "none") {
        return Err("style: a transform there is not read; as an attribute it is".into());
    }
    let mut place = around.clone();
    if let Some(text) = node.attribute("transform") {
        let t: Transform = text.parse().map_err(|e| format!("transform: {e}"))?;
        let map = Affine::new([t.a, t.b, t.c, t.d, t.e, t.f]);
        if !map.as_coeffs().iter().all(|v| v.abs() <= 1e12) {
            return Err("transform: a number in it is out of range".into());
        }
        place.map *= map;
    }
    place.hidden |= property(node, "display") == Some("none");
    match property(node, "visibility") {
        Some("hidden" | "collapse") => place.invisible = true,
        Some("visible") => place.invisible = false,
        _ => {}
    }
    place.depth += 1;
    if node.tag_name().name() == "g"
        && let Some(id) = node.attribute("id")
    {
        place.layer = id.into();
    }
    Ok(place)
}
