use super::help::{add, and_more, move_before};
use crate::coach::facts::{Facts, motion_after, motion_before};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::routine::Instruction;
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::SeamNotFollowed,
    weight: Severity::Misses,
    skill: Skill::KeepFrame,
    page: include_str!("seam_not_followed.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

/// Greatest distance of an approach or retreat from the stretch of weld it belongs to, mm (common
/// practice, no source).
pub(super) const NEAR_WELD_MM: f64 = 100.0;

/// Steps of a weld that do not follow the part: weld start and end, and approach and retreat if the
/// weld itself follows.
pub(super) fn left_out(f: &Facts) -> Vec<usize> {
    if f.touches.is_empty() {
        return Vec::new();
    }
    let free = |i: usize| f.structure.follow_at(i).is_none();
    let mut out = Vec::new();
    for w in &f.structure.welds {
        let range = w.start.or(w.end).unwrap_or(0)..=w.end.or(w.start).unwrap_or(0);
        out.extend(range.filter(|&i| f.routine.steps[i].instruction.is_weld() && free(i)));
        if let Some(start) = w.start.filter(|&i| !free(i))
            && let Some(a) = motion_before(f.routine, start)
            && free(a)
            && near(f, a, start)
            && is_move(f, a)
        {
            out.push(a);
        }
        if let Some(end) = w.end.filter(|&i| !free(i))
            && let Some(r) = motion_after(f.routine, end)
            && free(r)
            && near(f, r, end)
            && is_move(f, r)
        {
            out.push(r);
        }
    }
    out
}

fn is_move(f: &Facts, i: usize) -> bool {
    matches!(f.routine.steps[i].instruction, Instruction::Move { .. })
        && !f.routine.steps[i].instruction.is_home()
}

/// Whether the point of step `a` is near the stretch of weld that begins or ends at step `b`.
pub(super) fn near(f: &Facts, a: usize, b: usize) -> bool {
    from_weld(f, a, b).is_some_and(|mm| mm <= NEAR_WELD_MM)
}

/// Distance of the point of step `a` from the stretch of weld that begins or ends at step `b`, mm.
pub(super) fn from_weld(f: &Facts, a: usize, b: usize) -> Option<f64> {
    let (p, at) = (f.at(a)?, f.at(b)?);
    let welds = |i: &usize| *i != b && f.routine.steps[*i].instruction.is_weld();
    let neighbours = [b.checked_sub(1), Some(b + 1)].into_iter().flatten();
    let same = f.structure.welds.iter().find(|w| w.start == Some(b) || w.end == Some(b));
    let inside = |i: &usize| same.is_some_and(|w| w.start <= Some(*i) && Some(*i) <= w.end);
    let other = neighbours.filter(|i| *i < f.routine.steps.len()).filter(inside).find(welds);
    let to = other.and_then(|i| f.at(i)).unwrap_or(at);
    let share = (p - at).dot(&(to - at)) / (to - at).norm_squared().max(f64::MIN_POSITIVE);
    Some((p - (at + (to - at) * share.clamp(0.0, 1.0))).norm())
}

fn check(f: &Facts) -> Vec<Finding> {
    let out = left_out(f);
    let Some(&first) = out.first() else { return Vec::new() };
    let says = say::then(say::seam_not_followed(f.step(first)), and_more(out.len()));
    let finding = RULE.says(says).step(f.id(first));
    vec![match f.routine.steps[first].instruction.point() {
        Some(p) => finding.point(p),
        None => finding,
    }]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    let first_weld = f.structure.welds.iter().find_map(|w| w.start.or(w.end))?;
    let last_weld = f.structure.welds.iter().rev().find_map(|w| w.end.or(w.start))?;
    let before =
        motion_before(f.routine, first_weld).filter(|&a| is_move(f, a) && near(f, a, first_weld));
    let after =
        motion_after(f.routine, last_weld).filter(|&r| is_move(f, r) && near(f, r, last_weld));
    let from = before.unwrap_or(first_weld);
    let to = after.unwrap_or(last_weld);
    let mut edits = Vec::new();
    let Some(x) = f.structure.follows.last() else {
        let place = f.structure.finds.last()?.place.clone();
        edits.push(add(from, Instruction::Follow { place }));
        let stop = f
            .routine
            .steps
            .iter()
            .position(|s| matches!(s.instruction, Instruction::StopFollowing));
        if stop.is_none_or(|s| s <= to) {
            edits.push(add(to + 2, Instruction::StopFollowing));
        }
        return Some(edits);
    };
    // *Stop following* first: it comes later, so moving it does not change earlier indices.
    if let Some(stop) = x.end.filter(|&e| e <= to) {
        edits.push(Action::MoveStep { id: f.id(stop), to });
    }
    if x.begin > from {
        edits.push(move_before(f, x.begin, from));
    }
    Some(edits)
}
