use super::data::{Fault, FaultKind, body_index};
use super::edge::first_edge_touched;
use super::look::Look;
use super::mend::Mend;
use crate::cell::{CellSettings, EdgeMade, MadeEdge, Part, PartError};

pub(super) const KIND: FaultKind = FaultKind {
    name: "rough-edge",
    says: "an edge is rough where the drawing has a machined one",
    sign: "Touches on one edge scatter more: in one run they agree, in the next they do not.",
    look: Some(Look::Edges),
    mends: &[Mend::GrindEdge, Mend::LoadPart],
    typical,
};

/// The edge that the first level touch meets, as it came from the mill.
fn typical(part: &Part, _: &CellSettings) -> Option<Fault> {
    let met = first_edge_touched(part)?;
    Some(Fault::RoughEdge { body: met.body, edge: met.edge, made: EdgeMade::Rolled })
}

pub(super) fn apply(
    part: &mut Part,
    body: &str,
    edge: usize,
    made: EdgeMade,
) -> Result<(), PartError> {
    let i = body_index(part, body)?;
    let edges = &mut part.bodies[i].edges;
    edges.retain(|e| e.edge != edge);
    edges.push(MadeEdge { edge, made });
    Ok(())
}
