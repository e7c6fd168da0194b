//! What a person sees of a fault who looks there.

use super::data::Fault;
use super::edge::edge_met;
use super::look::Look;
use crate::cell::{Part, part_by_name};
use crate::geometry::Vector3;
use crate::text::{Sentence, Value, say, word};

impl Fault {
    /// What a look there shows of it; `part` is the part as drawn. Faults of the wire are seen on the
    /// wire, a changed speed in the settings.
    pub fn seen(&self, at: Look, part: &Part) -> Option<Sentence> {
        if self.kind().look != Some(at) {
            return None;
        }
        Some(match self {
            Self::PaintedEdge { body, edge, .. } => say::seen_paint(face_on(part, body, *edge)),
            Self::TackOnEdge { body, edge, .. } => say::seen_tack(face_on(part, body, *edge)),
            Self::RoughEdge { body, edge, .. } => say::seen_rough(face_on(part, body, *edge)),
            Self::ClampMoved { clamp, .. } => say::seen_clamp_moved(say::body(clamp)),
            Self::PartSlipsMidRun { .. } => say::seen_clamp_loose(),
            Self::WornClamp { .. } => say::seen_clamp_worn(),
            Self::OutOfSquare { .. } => say::seen_out_of_square(),
            Self::LooseUpright { body, .. } => say::seen_upright_moved(say::body(body)),
            Self::WorkLeadOff => say::seen_lead_off(),
            Self::SpatterBridge => say::seen_bridge(),
            Self::TipWorn { .. } => say::seen_tip_worn(),
            Self::WrongPart { part } => {
                let title = part_by_name(part).map_or_else(|| part.clone(), |p| p.title);
                say::seen_other_tag(word(title))
            }
            Self::WireBent { .. }
            | Self::StickOutChanged { .. }
            | Self::UntrimmedWire { .. }
            | Self::SensingSpeedChanged { .. }
            | Self::ReferenceOnMovedPart { .. } => return None,
        })
    }
}

/// What the part's touches call the face at an edge; the body's name, where none meets it.
fn face_on(part: &Part, body: &str, edge: usize) -> Value {
    let meets = part.model_touches.iter().find(|t| {
        edge_met(part, &t.from, &Vector3::from(t.direction))
            .is_some_and(|met| met.body == body && met.edge == edge)
    });
    word(meets.map_or(body, |touch| touch.face.as_str()))
}
