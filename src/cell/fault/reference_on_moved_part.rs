use super::data::{Fault, FaultKind, slide};
use super::mend::Mend;
use crate::cell::{CellSettings, Part};

pub(super) const KIND: FaultKind = FaultKind {
    name: "reference-on-moved-part",
    says: "the reference was taken on a moved part",
    sign: "The run after the reference found an offset, although nobody had moved the part.",
    look: None,
    mends: &[Mend::SeatPart],
    typical,
};

fn typical(part: &Part, _: &CellSettings) -> Option<Fault> {
    let play = part.play;
    Some(Fault::ReferenceOnMovedPart { part: slide(play.dx / 2.0, play.dy / 3.0) })
}
