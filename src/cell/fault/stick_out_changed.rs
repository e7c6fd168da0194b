use super::data::{Fault, FaultKind};
use super::look::Look;
use super::mend::Mend;
use crate::cell::part_check::range;
use crate::cell::{CellSettings, Part, PartError, Wire};

pub(super) const KIND: FaultKind = FaultKind {
    name: "stick-out-changed",
    says: "the stick-out was changed",
    sign: "Touches from above are off by the same amount; touches from the side are right.",
    look: Some(Look::WireTip),
    mends: &[Mend::CutWire, Mend::ChangeTip],
    typical,
};

fn typical(_: &Part, settings: &CellSettings) -> Option<Fault> {
    Some(Fault::StickOutChanged { stick_out_mm: settings.stick_out_mm + 3.0 })
}

pub(super) fn apply(wire: &mut Wire, stick_out_mm: f64) -> Result<(), PartError> {
    range("stick_out_mm", stick_out_mm, 1.0, 100.0, "1 to 100 mm")?;
    wire.stick_out_mm = stick_out_mm;
    Ok(())
}
