use super::data::{Fault, FaultKind};
use super::look::Look;
use super::mend::Mend;
use crate::cell::part_check::range;
use crate::cell::{CellSettings, Noise, Part, PartError};
use crate::geometry::Vector3;

pub(super) const KIND: FaultKind = FaultKind {
    name: "tip-worn",
    says: "the contact tip is worn",
    sign: "The wire stands elsewhere in each run: the touches of one run agree, the offset is another each time, and the weld misses now on this side and now on that.",
    look: Some(Look::Nozzle),
    mends: &[Mend::ChangeTip],
    typical,
};

/// Stream of random numbers beyond those of searches: where the wire stands in a worn tip.
const TIP: u64 = u64::MAX - 2;
/// Standard deviation either way of where the wire stands in it, mm (common practice, no source).
const WEAR_MM: f64 = 1.0;

fn typical(_: &Part, _: &CellSettings) -> Option<Fault> {
    Some(Fault::TipWorn { wear_mm: WEAR_MM })
}

pub(super) fn check(wear_mm: f64) -> Result<(), PartError> {
    range("wear_mm", wear_mm, 0.0, 10.0, "0 to 10 mm")
}

/// Where the wire stands in the worn tip while this run feels, mm off the torch axis. Fresh wire comes
/// through the tip while the arc burns, and stands elsewhere: a wear that moved touches and weld alike
/// would cancel.
pub(super) fn bend(wear_mm: f64, seed: u64, run: usize) -> Vector3<f64> {
    let mut noise = Noise::new(seed, run as u64, TIP);
    Vector3::new(noise.normal(), noise.normal(), 0.0) * wear_mm
}
