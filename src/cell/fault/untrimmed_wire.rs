use super::data::{Fault, FaultKind};
use super::look::Look;
use super::mend::Mend;
use crate::cell::part_check::range;
use crate::cell::{CellSettings, Part, PartError, Wire};

pub(super) const KIND: FaultKind = FaultKind {
    name: "untrimmed-wire",
    says: "the wire was not trimmed after the last arc",
    sign: "Every touch lies a little too deep, and they scatter more. A touch from above is off by what the wire is too long or too short.",
    look: Some(Look::WireTip),
    mends: &[Mend::CutWire, Mend::ChangeTip],
    typical,
};

/// How much longer the arc has left the wire, mm: within what an arc does.
const LONGER_MM: f64 = 1.5;

fn typical(_: &Part, settings: &CellSettings) -> Option<Fault> {
    Some(Fault::UntrimmedWire { stick_out_mm: settings.stick_out_mm + LONGER_MM })
}

/// A ball at its end, and another stick-out: as an arc leaves it.
pub(super) fn apply(wire: &mut Wire, stick_out_mm: f64) -> Result<(), PartError> {
    range("stick_out_mm", stick_out_mm, 1.0, 100.0, "1 to 100 mm")?;
    wire.stick_out_mm = stick_out_mm;
    wire.ball = true;
    Ok(())
}
