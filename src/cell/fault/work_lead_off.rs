use super::data::{Fault, FaultKind};
use super::look::Look;
use super::mend::Mend;
use crate::cell::{CellSettings, Part};

pub(super) const KIND: FaultKind = FaultKind {
    name: "work-lead-off",
    says: "the work lead is off",
    sign: "The first search runs on to the end of its reach. Nothing is felt, and the wire is bent.",
    look: Some(Look::WorkLead),
    mends: &[Mend::FastenLead],
    typical,
};

fn typical(_: &Part, _: &CellSettings) -> Option<Fault> {
    Some(Fault::WorkLeadOff)
}
