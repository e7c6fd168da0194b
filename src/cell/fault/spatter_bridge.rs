use super::data::{Fault, FaultKind};
use super::look::Look;
use super::mend::Mend;
use crate::cell::{CellSettings, Part};

pub(super) const KIND: FaultKind = FaultKind {
    name: "spatter-bridge",
    says: "spatter bridges the nozzle and the contact tip",
    sign: "Every search touches at once, where it starts.",
    look: Some(Look::Nozzle),
    mends: &[Mend::CleanNozzle, Mend::ChangeTip],
    typical,
};

fn typical(_: &Part, _: &CellSettings) -> Option<Fault> {
    Some(Fault::SpatterBridge)
}
