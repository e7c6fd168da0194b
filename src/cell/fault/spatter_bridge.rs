use super::data::{Fault, FaultKind, Repair};
use crate::cell::{CellSettings, Part};

pub(super) const KIND: FaultKind = FaultKind {
    name: "spatter-bridge",
    says: "spatter bridges the nozzle and the contact tip",
    sign: "Every search touches at once, where it starts.",
    mend: "clean the nozzle",
    repair: Repair::ClearFault,
    typical,
};

fn typical(_: &Part, _: &CellSettings) -> Option<Fault> {
    Some(Fault::SpatterBridge)
}
