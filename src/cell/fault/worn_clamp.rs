use super::data::{Fault, FaultKind, slide};
use super::look::Look;
use super::mend::Mend;
use crate::cell::{CellSettings, Part};

pub(super) const KIND: FaultKind = FaultKind {
    name: "worn-clamp",
    says: "a clamp is worn, and parts lie further away than the fixture should let them",
    sign: "The touches agree, and the offset is greater than the play of the fixture.",
    look: Some(Look::Clamps),
    mends: &[Mend::TightenClamps],
    typical,
};

/// How far a part goes beyond where it would lie, as a share of the play along that axis.
const AWAY: f64 = 1.6;
/// The same where the fixture leaves no play there, mm.
const LEAST_MM: f64 = 4.0;

/// Away from where the last level touch starts, so that its search still finds the part.
fn typical(part: &Part, _: &CellSettings) -> Option<Fault> {
    let [x, y, _] = part.model_touches.iter().rfind(|t| t.direction[2].abs() < 0.5)?.direction;
    let far = |limit: f64| (AWAY * limit).max(LEAST_MM);
    let (dx, dy) = (far(part.play.dx), far(part.play.dy));
    let away =
        if x.abs() > y.abs() { slide(dx * x.signum(), 0.0) } else { slide(0.0, dy * y.signum()) };
    Some(Fault::WornClamp { away })
}
