use crate::files::read_bytes;
use crate::output::{Problem, print, print_json, say};
use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use nudgeproof::cell::OutlineDraft;
use nudgeproof::drawing::{DrawingReport, Unit, UnitSaid, report};
use nudgeproof::io::limits::DRAWING_KIB;
use nudgeproof::text::plain;
use std::fmt::Write as _;
use std::path::PathBuf;

#[derive(Args)]
pub(crate) struct DrawingArgs {
    /// Drawing file, DXF or SVG
    file: PathBuf,
    /// What one unit of it is; as the file says, where nothing is given
    #[arg(long, value_parser = unit_by_name())]
    unit: Option<Unit>,
    /// Print a part file instead, with this title: a plate of an outline, with a rail on it
    #[arg(long, value_name = "TITLE")]
    part: Option<String>,
    /// Which outline: 0 is the largest
    #[arg(long, default_value_t = 0, requires = "part")]
    outline: usize,
    /// Which edge of it lies in front: edge N follows corner N
    #[arg(long, default_value_t = 0, requires = "part")]
    front: usize,
    /// A dimension of the part, such as `piece-height=30`; may be given again
    #[arg(long, requires = "part", value_name = "DIMENSION=VALUE")]
    set: Vec<String>,
    /// Print JSON
    #[arg(long, conflicts_with = "part")]
    json: bool,
}

fn unit_by_name() -> impl TypedValueParser<Value = Unit> {
    PossibleValuesParser::new(Unit::ALL.iter().map(<&str>::from))
        .try_map(|name| name.parse::<Unit>())
}

impl DrawingArgs {
    /// Prints the outlines of the drawing, in mm, or a part of one of them.
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let name = self.file.display();
        let bytes = read_bytes(&self.file, &DRAWING_KIB, "a DXF or SVG drawing");
        let bytes = bytes.map_err(|e| format!("{name}: {e}"))?;
        let read = report(&bytes, self.unit);
        let read = read.map_err(|e| format!("{name}: {e}"))?;
        match &self.part {
            None if self.json => print_json(&read),
            None => say(&words_of(&read)),
            Some(title) => print(&self.made(title, &read).map_err(|e| format!("{name}: {e}"))?),
        }
    }

    /// The text of a part file.
    fn made(&self, title: &str, read: &DrawingReport) -> Result<String, Problem> {
        match read.unit {
            _ if self.unit.is_some() => {}
            UnitSaid::Mm(_) => {}
            UnitSaid::Nothing => return Err("it does not say its unit: give one by --unit".into()),
            UnitSaid::Contradiction(a, b) => {
                return Err(format!("its unit is {a} mm or {b} mm: give one by --unit"));
            }
        }
        let count = read.outlines.len();
        let chosen = read.outlines.get(self.outline).ok_or_else(|| {
            let found = self.outline;
            format!("--outline: expected one of {count} closed outlines, from 0, and found {found}")
        })?;
        let holes: Vec<_> = read.within(self.outline).map(|hole| hole.corners.clone()).collect();
        let draft = OutlineDraft::new(&chosen.corners, &holes, self.front, title);
        let mut draft = draft.map_err(|e| e.to_string())?;
        for one in &self.set {
            let known = one.split_once('=').and_then(|(id, value)| {
                let all = draft.draft.template.dimensions().into_iter().map(|(d, _)| d);
                let mut free = all.filter(|d| !OutlineDraft::GIVEN.contains(d));
                Some((free.find(|d| d.id() == id)?, value.parse::<f64>().ok()?))
            });
            let (dimension, value) = known.ok_or_else(|| {
                format!("--set: expected a dimension of a rail and a number, and found {one:?}")
            })?;
            draft.draft.set(dimension, value);
        }
        Ok(draft.part().map_err(|e| e.to_string())?.to_toml())
    }
}

/// What was read, in words.
fn words_of(read: &DrawingReport) -> String {
    let mut says = match read.unit {
        UnitSaid::Mm(mm) => format!("unit: {mm} mm, as the file says\n"),
        UnitSaid::Nothing => format!("unit: {} mm; the file says none\n", read.unit_mm),
        UnitSaid::Contradiction(a, b) => {
            format!("unit: {} mm; the file says {a} mm and {b} mm\n", read.unit_mm)
        }
    };
    for (n, outline) in read.outlines.iter().enumerate() {
        let (area, around) = (plain(outline.area_mm2, 1), plain(outline.perimeter_mm, 1));
        let (corners, element) = (outline.corners.len(), &outline.element);
        _ = writeln!(
            says,
            "outline {n}: {area} mm², {around} mm around, {corners} corners ({element})"
        );
    }
    for open in &read.open {
        let (by, element) = (plain(open.open_by_mm, 2), &open.element);
        _ = writeln!(says, "not closed, by {by} mm ({element})");
    }
    for [x, y] in &read.forks {
        _ = writeln!(says, "three lines or more meet at {}, {}", plain(*x, 1), plain(*y, 1));
    }
    for remark in &read.remarks {
        let element = remark.element.to_string();
        let times =
            if remark.times > 1 { format!(", {} times", remark.times) } else { String::new() };
        _ = writeln!(says, "{}: {}{times}", element, remark.why);
    }
    says
}
