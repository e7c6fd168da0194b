//! What the rules about the layout of touches share.

use super::help::{above_of, add, clear_of, go, new_name, teach};
use crate::cell::ModelTouch;
use crate::coach::facts::{
    Facts, Freedom, Meets, ProbingBlock, allowed, apart, look, most_on_one_face, solved, unseen,
};
use crate::geometry::Vector3;
use crate::routine::{Instruction, PathKind};
use crate::session::Action;

/// A second touch nearer than this to the first adds nothing to speak of, mm (common practice, no source).
pub(super) const WORTH_MM: f64 = 20.0;

/// What the fixture lets the part do and the plan asks for, and the touches do not tell.
pub(super) fn lacking(f: &Facts, block: &ProbingBlock) -> Vec<Freedom> {
    let allowed = allowed(&f.state.part.play);
    untold(f, block, |m| allowed.contains(&m))
}

/// What the plan asks for and the touches do not tell.
pub(super) fn blind(f: &Facts, block: &ProbingBlock) -> Vec<Freedom> {
    untold(f, block, |_| true)
}

fn untold(f: &Facts, block: &ProbingBlock, counts: impl Fn(Freedom) -> bool) -> Vec<Freedom> {
    let Some(plan) = f.plan_of(block) else { return Vec::new() };
    let touches = f.touches_of(block);
    let mut asked = solved(plan.freedoms, touches.first().map(|t| t.direction));
    asked.retain(|m| counts(*m));
    // A turn is told by two touches along one face, and by nothing else worth relying on.
    let turn = asked.contains(&Freedom::Turn);
    let told = most_on_one_face(&touches).0 >= 2 && touches.len() >= asked.len();
    asked.retain(|m| *m != Freedom::Turn);
    let mut untold = unseen(&asked, &touches);
    if turn && !told {
        untold.push(Freedom::Turn);
    }
    untold
}

/// Whether a search of the block does not meet a face at all: then that is to be mended first.
pub(super) fn misses_a_face(f: &Facts, block: &ProbingBlock) -> bool {
    f.touches_of(block).iter().any(|t| !matches!(t.taught, Meets::Face(_)))
}

/// A touch of the layout that comes with the part, which adds most to what the touches tell.
pub(super) fn add_model_touch(f: &Facts, block: &ProbingBlock) -> Option<Vec<Action>> {
    let touches = f.touches_of(block);
    let mut cell = f.cell.clone()?;
    let mut best: Option<(&ModelTouch, (usize, f64))> = None;
    for m in &f.state.part.model_touches {
        let d = Vector3::from(m.direction);
        let Meets::Face(face) = look(&mut cell, f.taught, &m.from, &d, f.plan_of(block)?.reach_mm)
        else {
            continue;
        };
        let on: Vec<_> = touches
            .iter()
            .filter(|t| {
                t.meets().is_some_and(|o| o.body == face.body && o.normal.dot(&face.normal) > 0.99)
            })
            .collect();
        let nearest = on.iter().map(|t| apart(&t.start, &m.from, &d)).fold(f64::INFINITY, f64::min);
        if nearest < WORTH_MM {
            continue;
        }
        let merit = (usize::MAX - on.len(), nearest);
        if best.is_none_or(|(_, b)| merit.0 > b.0 || (merit.0 == b.0 && merit.1 > b.1)) {
            best = Some((m, merit));
        }
    }
    let (m, _) = best?;
    let d = Vector3::from(m.direction);
    let name = new_name(f, &m.face);
    let clear = new_name(f, "clear");
    // High above its start, so that the way there leads over the part and not through it.
    let above = new_name(f, "above");
    let mut edits = vec![teach(&name, m.from)];
    // The learner's own name for that face, if it is touched already.
    let label = touches
        .iter()
        .find(|t| t.direction.dot(&d) > 0.99)
        .map_or_else(|| m.face.clone(), |t| t.face.clone());
    let mut at = block.probes.last().map_or(block.begin + 1, |p| p + 1);
    if let Some(last) = touches.last() {
        edits.push(teach(&clear, clear_of(&last.start, &last.direction)));
        edits.push(add(at, go(&clear, PathKind::Linear)));
        at += 1;
    }
    edits.push(teach(&above, above_of(&m.from, &d)));
    edits.push(add(at, go(&above, PathKind::Joint)));
    at += 1;
    edits.push(add(at, go(&name, PathKind::Joint)));
    edits.push(add(at + 1, Instruction::Probe { from: name.clone(), direction: d, face: label }));
    let leave = new_name(f, &format!("{name}-clear"));
    edits.push(teach(&leave, clear_of(&m.from, &d)));
    edits.push(add(at + 2, go(&leave, PathKind::Linear)));
    Some(edits)
}
