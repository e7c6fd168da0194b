//! What a run shows in a drill: offset, depths of the touches, where the weld landed.

use super::nudge::Nudge;
use super::number::{length, signed, signed_length};
use super::reading::{depths, reported_offsets};
use crate::app::i18n::{Key, format};
use nudgeproof::routine::{RunKind, RunLog};
use nudgeproof::session::State;

/// One line for each thing that the run measured; `index` is its number in the session, from 0.
pub(crate) fn facts(index: usize, log: &RunLog, state: &State) -> Vec<String> {
    let mut facts = Vec::new();
    for found in reported_offsets(log, state) {
        let nudge = Nudge::of(&found.motion);
        let [x, y] = [nudge.dx, nudge.dy].map(|v| signed_length(v, 1));
        let turn = signed(nudge.turn_deg, 1);
        facts.push(format(Key::EvidenceOffset, &[&found.place, &x, &y, &turn]));
        facts.push(format(Key::ResidualIs, &[&found.place, &length(found.residual_mm, 2)]));
    }
    // Only what came after the reference can be held against it.
    let reference = state.runs.iter().rposition(|r| r.kind == RunKind::Reference);
    if reference.is_some_and(|r| index > r) {
        let depths: Vec<_> =
            depths(log, state).into_iter().map(|mm| signed_length(mm, 1)).collect();
        if !depths.is_empty() {
            facts.push(format(Key::EvidenceDepth, &[&depths.join(", ")]));
        }
    }
    if let Some(weld) = log.welds.first() {
        let [start, end] = [0, 1].map(|k| signed_length(weld.miss[k].across_mm, 1));
        let heights = weld.miss.iter().map(|m| m.height_mm);
        let height = heights.fold(0.0, |a: f64, b| if b.abs() > a.abs() { b } else { a });
        facts.push(format(Key::EvidenceWeld, &[&start, &end, &signed_length(height, 1)]));
    }
    facts
}
