use super::data::{Fault, FaultKind};
use super::look::Look;
use super::mend::Mend;
use crate::cell::part_check::range;
use crate::cell::{CellSettings, Part, PartError, Wire};
use crate::geometry::Vector3;

/// The name of the fault.
pub const WIRE_BENT: &str = "wire-bent";

pub(super) const KIND: FaultKind = FaultKind {
    name: WIRE_BENT,
    says: "the wire is bent",
    sign: "The touches agree, and the weld misses. After the arc the next run is right: it has burnt the bent end away.",
    look: Some(Look::WireTip),
    mends: &[Mend::CutWire, Mend::ChangeTip],
    typical,
};

fn typical(_: &Part, _: &CellSettings) -> Option<Fault> {
    Some(Fault::WireBent { bend: Vector3::new(1.5, 1.0, 0.0) })
}

pub(super) fn apply(wire: &mut Wire, bend: Vector3<f64>) -> Result<(), PartError> {
    bend.iter().try_for_each(|v| range("bend", *v, -50.0, 50.0, "a bend within ±50 mm"))?;
    wire.bend = bend;
    Ok(())
}
