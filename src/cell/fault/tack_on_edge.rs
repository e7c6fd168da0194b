use super::data::{Fault, FaultKind, body_index};
use super::edge::first_edge_touched;
use super::look::Look;
use super::mend::Mend;
use crate::cell::{Bump, BumpKind, CellSettings, Part, PartError};

pub(super) const KIND: FaultKind = FaultKind {
    name: "tack-on-edge",
    says: "a tack weld on an edge",
    sign: "The touches disagree. One of them comes too early, and the others are right.",
    look: Some(Look::Edges),
    mends: &[Mend::GrindEdge, Mend::LoadPart],
    typical,
};

/// How far the tack sticks out, mm: more than the usual tolerance of a seam.
const OUT_MM: f64 = 1.5;
/// Half of its length, mm.
const HALF_MM: f64 = 8.0;

/// A tack where the first level touch lands.
fn typical(part: &Part, _: &CellSettings) -> Option<Fault> {
    let met = first_edge_touched(part)?;
    let [from_mm, to_mm] = met.around(HALF_MM);
    let (body, edge, out_mm) = (met.body, met.edge, OUT_MM);
    Some(Fault::TackOnEdge { body, edge, from_mm, to_mm, out_mm })
}

pub(super) fn apply(
    part: &mut Part,
    body: &str,
    edge: usize,
    [from_mm, to_mm]: [f64; 2],
    out_mm: f64,
) -> Result<(), PartError> {
    let i = body_index(part, body)?;
    part.bodies[i].bumps.push(Bump { kind: BumpKind::Tack, edge, from_mm, to_mm, out_mm });
    Ok(())
}
