use crate::output::{Problem, print};
use clap::{Args, ValueEnum};
use nudgeproof::drawing::{Unit, report};
use nudgeproof::io::to_json;
use std::path::PathBuf;

#[derive(Args)]
pub(crate) struct DrawingArgs {
    /// Drawing file, DXF or SVG
    file: PathBuf,
    /// What one unit of it is; as the file says, where nothing is given
    #[arg(long)]
    unit: Option<UnitName>,
}

/// The names of [`Unit`].
#[derive(Clone, Copy, ValueEnum)]
enum UnitName {
    Mm,
    Cm,
    M,
    Inch,
    Foot,
    Pixel,
    Point,
}

impl UnitName {
    fn unit(self) -> Unit {
        match self {
            Self::Mm => Unit::Mm,
            Self::Cm => Unit::Cm,
            Self::M => Unit::M,
            Self::Inch => Unit::Inch,
            Self::Foot => Unit::Foot,
            Self::Pixel => Unit::Pixel,
            Self::Point => Unit::Point,
        }
    }
}

impl DrawingArgs {
    /// Prints the outlines of the drawing, in mm.
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let name = self.file.display();
        let bytes =
            std::fs::read(&self.file).map_err(|e| format!("{name}: cannot be read: {e}"))?;
        let report = report(&bytes, self.unit.map(UnitName::unit));
        print(&(to_json(&report.map_err(|e| format!("{name}: {e}"))?) + "\n"))?;
        Ok(())
    }
}
