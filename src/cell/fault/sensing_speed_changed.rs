use super::data::{Fault, FaultKind, Repair};
use crate::cell::{CellSettings, Part};

pub(super) const KIND: FaultKind = FaultKind {
    name: "sensing-speed-changed",
    says: "the sensing speed was changed",
    sign: "Every touch lies too deep by the same amount. The searches took less time.",
    mend: "set the sensing speed back",
    repair: Repair::ClearFault,
    typical,
};

/// As fast as the wire stands, three times the usual speed: the latency of the readings then shows.
fn typical(_: &Part, _: &CellSettings) -> Option<Fault> {
    Some(Fault::SensingSpeedChanged { speed_mm_s: crate::cell::ELASTIC_SPEED_MM_S })
}
