use super::data::{Fault, FaultKind, slide};
use super::look::Look;
use super::mend::Mend;
use crate::cell::{CellSettings, Part};

pub(super) const KIND: FaultKind = FaultKind {
    name: "part-slips-mid-run",
    says: "the part slips after its touches",
    sign: "The touches agree and the offset is right. The part lies elsewhere when it is welded.",
    look: Some(Look::Clamps),
    mends: &[Mend::TightenClamps],
    typical,
};

fn typical(_: &Part, _: &CellSettings) -> Option<Fault> {
    Some(Fault::PartSlipsMidRun { slip: slide(2.0, 1.5) })
}
