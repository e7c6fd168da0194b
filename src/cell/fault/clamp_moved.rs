use super::data::{Fault, FaultKind};
use super::look::Look;
use super::mend::Mend;
use crate::cell::part_check::range;
use crate::cell::{CellSettings, Part, PartError};
use crate::geometry::Vector2;

pub(super) const KIND: FaultKind = FaultKind {
    name: "clamp-moved",
    says: "a clamp stands in the way",
    sign: "The torch runs into a clamp, or a search meets one: the log names it.",
    look: Some(Look::Clamps),
    mends: &[Mend::TightenClamps],
    typical,
};

/// How far the clamp is moved past the start of a search, mm: enough to be hit.
const OVERLAP_MM: f64 = 3.0;

/// The clamp with the shortest way to the start of a search, moved there.
fn typical(part: &Part, _: &CellSettings) -> Option<Fault> {
    let sideways = part.model_touches.iter().filter(|t| t.direction[2].abs() < 0.5);
    let moves = sideways.flat_map(|t| {
        // The wire passes over a clamp that is lower.
        let tall = part.clamps.iter().filter(|c| c.z[1] > t.from.z);
        tall.map(move |c| {
            let (low, high) = c.outline.bounds();
            let dx = shift_to_block(t.from.x, t.direction[0], low.x, high.x);
            let dy = shift_to_block(t.from.y, t.direction[1], low.y, high.y);
            (dx, dy, &c.name)
        })
    });
    let (dx, dy, clamp) =
        moves.min_by(|a, b| libm::hypot(a.0, a.1).total_cmp(&libm::hypot(b.0, b.1)))?;
    Some(Fault::ClampMoved { clamp: clamp.clone(), dx, dy })
}

/// Shift along one axis that brings a clamp from `low` to `high` into the way of a search from `at`,
/// mm. Where the search runs along this axis, the clamp ends just past the start, short of the part;
/// else it covers the start.
fn shift_to_block(at: f64, direction: f64, low: f64, high: f64) -> f64 {
    if direction > 0.5 {
        at + OVERLAP_MM - high
    } else if direction < -0.5 {
        at - OVERLAP_MM - low
    } else if at < low + OVERLAP_MM {
        at - low - OVERLAP_MM
    } else if at > high - OVERLAP_MM {
        at - high + OVERLAP_MM
    } else {
        0.0
    }
}

pub(super) fn apply(part: &mut Part, clamp: &str, dx: f64, dy: f64) -> Result<(), PartError> {
    range("dx", dx, -1000.0, 1000.0, "-1000 to 1000 mm")?;
    range("dy", dy, -1000.0, 1000.0, "-1000 to 1000 mm")?;
    let Some(i) = part.clamps.iter().position(|c| c.name == clamp) else {
        let known = part.clamps.iter().map(|c| c.name.as_str());
        return Err(PartError::unknown("clamp", clamp, known));
    };
    let body = &mut part.clamps[i];
    let shift = Vector2::new(dx, dy);
    for outline in std::iter::once(&mut body.outline).chain(&mut body.holes) {
        outline.corners.iter_mut().for_each(|c| c.at += shift);
    }
    Ok(())
}
