use super::data::{Fault, FaultKind};
use super::look::Look;
use super::mend::Mend;
use crate::cell::part_check::range;
use crate::cell::{CellSettings, Part, PartError};

pub(super) const KIND: FaultKind = FaultKind {
    name: "out-of-square",
    says: "the part is out of square",
    sign: "The touches disagree. Those on one side are off, and by different amounts.",
    look: Some(Look::Square),
    mends: &[Mend::LoadPart],
    typical,
};

fn typical(_: &Part, _: &CellSettings) -> Option<Fault> {
    Some(Fault::OutOfSquare { lean_deg: 0.5 })
}

/// Shears the part along X: lines along Y lean counter-clockwise.
pub(super) fn apply(part: &mut Part, lean_deg: f64) -> Result<(), PartError> {
    range("lean_deg", lean_deg, -30.0, 30.0, "-30 to 30 degrees")?;
    let tan = libm::tan(lean_deg.to_radians());
    for body in &mut part.bodies {
        for outline in std::iter::once(&mut body.outline).chain(&mut body.holes) {
            for corner in &mut outline.corners {
                corner.at.x -= corner.at.y * tan;
            }
            // A round hole fills its square: in the sheared square its radius is a little smaller.
            outline.fit_roundings();
        }
    }
    for seam in &mut part.seams {
        seam.from.x -= seam.from.y * tan;
        seam.to.x -= seam.to.y * tan;
    }
    Ok(())
}
