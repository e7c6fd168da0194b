use super::help::{add, move_before, new_name, part_back, teach};
use crate::coach::facts::{Facts, motion_before};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::routine::{Instruction, Weld};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::WeldNotClosed,
    weight: Severity::Misses,
    skill: Skill::WriteRoutine,
    page: include_str!("weld_not_closed.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

/// A step between weld start and weld end that has no place there.
fn wanders(f: &Facts, w: &Weld) -> Option<usize> {
    let (start, end) = (w.start?, w.end?);
    (start + 1..end).find(|&i| !through(f, i))
}

/// The last of the weld-through steps right after step `i`.
fn last_through(f: &Facts, i: usize) -> Option<usize> {
    (i + 1..f.routine.steps.len()).take_while(|&k| through(f, k)).last()
}

fn through(f: &Facts, i: usize) -> bool {
    matches!(f.routine.steps[i].instruction, Instruction::WeldThrough { .. })
}

fn check(f: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    for w in &f.structure.welds {
        let (at, says) = match (w.start, w.end) {
            (Some(s), None) => (s, say::weld_without_end(f.step(s))),
            (None, Some(e)) => (e, say::weld_without_start(f.step(e))),
            (Some(s), Some(_)) => match wanders(f, w) {
                Some(i) => (s, say::stands_in_a_weld(f.step(s), f.step(i))),
                None => continue,
            },
            (None, None) => continue,
        };
        found.push(RULE.says(says).step(f.id(at)));
    }
    // A weld end before its weld start is one swap, not two missing steps.
    found.truncate(1);
    found
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let at = f.place(finding.step)?;
    let w = f.structure.welds.iter().find(|w| w.start == Some(at) || w.end == Some(at))?;
    match (w.start, w.end) {
        (Some(s), Some(e)) => {
            let wanders = wanders(f, w)?;
            if f.routine.steps[wanders].instruction == Instruction::TrimWire {
                let stops =
                    |i: &usize| f.routine.steps[*i].instruction == Instruction::StopFollowing;
                let after = (e..f.routine.steps.len()).find(stops).unwrap_or(e);
                return Some(vec![move_before(f, wanders, after + 1)]);
            }
            let approached =
                motion_before(f.routine, s).is_some_and(|b| f.structure.follow_at(b).is_some());
            Some(vec![if approached {
                move_before(f, wanders, e + 1)
            } else {
                move_before(f, wanders, s)
            }])
        }
        (None, Some(e)) => {
            let start = f
                .structure
                .welds
                .iter()
                .find_map(|w| w.start.filter(|&s| s > e && w.end.is_none()));
            if let Some(s) = start {
                let last = last_through(f, s).unwrap_or(s);
                return Some(vec![move_before(f, e, last + 1)]);
            }
            let (name, mut edits) = other_end(f, e, "weld-start")?;
            let first = (0..e).rev().take_while(|&i| through(f, i)).last().unwrap_or(e);
            edits.push(add(first, Instruction::WeldStart { to: name }));
            Some(edits)
        }
        (Some(s), None)
            if f.routine
                .steps
                .get(s + 1)
                .is_some_and(|n| n.instruction == f.routine.steps[s].instruction) =>
        {
            Some(vec![Action::DeleteStep { id: f.id(s) }])
        }
        (Some(s), None) => {
            let (name, mut edits) = other_end(f, s, "weld-end")?;
            let last = last_through(f, s).unwrap_or(s);
            edits.push(add(last + 1, Instruction::WeldEnd { to: name }));
            Some(edits)
        }
        (None, None) => None,
    }
}

/// The other end of the seam of step `i`'s point, and how it is taught; an existing point if the learner
/// has taught one there.
fn other_end(f: &Facts, i: usize, base: &str) -> Option<(String, Vec<Action>)> {
    let here = f.at(i)?;
    let ends = f.state.part.seams.iter().flat_map(|s| [(s.from, s.to), (s.to, s.from)]);
    let (_, far) = ends.min_by(|a, b| {
        let d = |p: &(crate::geometry::Point3<f64>, _)| (f.taught.point(&p.0) - here).norm();
        d(a).total_cmp(&d(b))
    })?;
    let far = f.taught.point(&far);
    if let Some(known) = f.routine.points.iter().find(|p| (p.at - far).norm() < 1.0) {
        return Some((known.name.clone(), Vec::new()));
    }
    let name = new_name(f, base);
    let mut edits = part_back(f);
    edits.push(teach(&name, far));
    Some((name, edits))
}
