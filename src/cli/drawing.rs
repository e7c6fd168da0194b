use crate::output::{Problem, print};
use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use nudgeproof::cell::OutlineDraft;
use nudgeproof::drawing::{DrawingReport, Unit, UnitSaid, report};
use nudgeproof::io::to_json;
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
}

fn unit_by_name() -> impl TypedValueParser<Value = Unit> {
    PossibleValuesParser::new(Unit::ALL.iter().map(<&str>::from))
        .try_map(|name| name.parse::<Unit>())
}

impl DrawingArgs {
    /// Prints the outlines of the drawing, in mm, or a part of one of them.
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let name = self.file.display();
        let bytes =
            std::fs::read(&self.file).map_err(|e| format!("{name}: cannot be read: {e}"))?;
        let read = report(&bytes, self.unit);
        let read = read.map_err(|e| format!("{name}: {e}"))?;
        match &self.part {
            None => print(&(to_json(&read) + "\n")),
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
