use super::help::{above_of, add, clear_of, go, new_name, teach};
use crate::coach::facts::{Facts, Hit, TouchFacts, motion_after, motion_before};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::geometry::Point3;
use crate::routine::{Instruction, PathKind};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoClearMove,
    weight: Severity::Ruins,
    skill: Skill::WriteRoutine,
    page: include_str!("no_clear_move.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

fn check(f: &Facts) -> Vec<Finding> {
    f.touches
        .iter()
        .filter_map(|t| {
            let says = if let Some(next) = next_place(f, t) {
                say::straight_on(&t.face, &next)
            } else {
                let from_it = |hit: &&Hit| motion_before(f.routine, hit.step) == Some(t.step);
                let hit = f.hits.iter().filter(from_it).find(|hit| is_cause(f, hit))?;
                let (step, body) = (f.step(hit.step), say::body(&hit.body));
                if hit.nozzle {
                    say::nozzle_after_touch(&t.face, step, body)
                } else {
                    say::wire_after_touch(&t.face, step, body)
                }
            };
            Some(RULE.says(says).step(f.id(t.step)).point(&t.point))
        })
        .collect()
}

/// The step after a touch, if the torch should have moved clear first.
fn next_place(f: &Facts, t: &TouchFacts) -> Option<String> {
    let next = motion_after(f.routine, t.step)?;
    let to = f.routine.steps[next].instruction.point()?.to_owned();
    let ends = t.start + t.direction * t.meets().map_or(0.0, |m| m.travel);
    match &f.routine.steps[next].instruction {
        Instruction::WeldStart { .. } => Some(to),
        Instruction::Feel { .. } => {
            let other = f.touches.iter().find(|o| o.step == next)?;
            let same = t.shares_face(other) || t.face == other.face;
            (!same).then_some(to)
        }
        Instruction::Move { .. } => {
            let weld = motion_after(f.routine, next)?;
            let starts = matches!(f.routine.steps[weld].instruction, Instruction::WeldStart { .. });
            (starts && approaches(f, next, weld, &ends)).then_some(to)
        }
        _ => None,
    }
}

/// Whether a move before a weld start is the approach and not a clear move: it follows the part and
/// is nearer to the weld.
fn approaches(f: &Facts, i: usize, weld: usize, touch: &Point3<f64>) -> bool {
    let follows = f.structure.follow_at(i).is_some();
    let nearer =
        f.at(i).zip(f.at(weld)).is_some_and(|(at, weld)| (at - weld).norm() < (at - touch).norm());
    nearer && (follows || super::seam_not_followed::near(f, i, weld))
}

/// Whether step `i` is a feel whose start is at the wrong height, or too close to the part.
pub(super) fn starts_wrong(f: &Facts, i: usize) -> bool {
    let touch = f.touches.iter().find(|t| t.step == i);
    touch
        .is_some_and(|t| super::touch_height::is_wrong(f, t) || super::start_too_close::is_wrong(t))
}

/// Whether the torch runs into the part on its way from a touch: it should have moved clear first.
pub(super) fn is_cause(f: &Facts, hit: &Hit) -> bool {
    let Some(before) = motion_before(f.routine, hit.step) else { return false };
    let touch = f.touches.iter().find(|t| t.step == before);
    // A start that is wrong is a mistake of its own.
    !starts_wrong(f, hit.step)
        && touch
            .is_some_and(|t| next_place(f, t).is_some() || f.state.part.body(&hit.body).is_some())
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let i = f.place(finding.step)?;
    let t = f.touches.iter().find(|t| t.step == i)?;
    let name = new_name(f, "clear");
    let at = clear_of(&t.start, &t.direction);
    let mut edits = vec![teach(&name, at), add(i + 1, go(&name, PathKind::Linear))];
    // Over the part to the next face.
    let next = motion_after(f.routine, i);
    if let Some(o) = f.touches.iter().find(|o| Some(o.step) == next) {
        let above = new_name(f, "above");
        edits.push(teach(&above, above_of(&o.start, &o.direction)));
        edits.push(add(i + 2, go(&above, PathKind::Joint)));
    }
    Some(edits)
}
