use super::data::{Fault, FaultKind};
use super::look::Look;
use super::mend::Mend;
use crate::cell::{CellSettings, Part};

pub(super) const KIND: FaultKind = FaultKind {
    name: "sensing-speed-changed",
    says: "the sensing speed was changed",
    sign: "Every touch lies too deep by the same amount. The searches took less time.",
    look: Some(Look::Settings),
    mends: &[Mend::SetSpeed],
    typical,
};

/// As fast as the wire stands, three times the usual speed: the latency of the readings then shows.
fn typical(_: &Part, _: &CellSettings) -> Option<Fault> {
    Some(Fault::SensingSpeedChanged { speed_mm_s: crate::cell::ELASTIC_SPEED_MM_S })
}
