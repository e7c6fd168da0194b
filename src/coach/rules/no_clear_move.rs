use super::help::{above_of, add, clear_of, go, new_name, teach};
use super::watching::same_moves;
use crate::coach::facts::{Facts, RunFacts, TouchFacts, motion_after};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::geometry::Point3;
use crate::routine::{EventKind, Instruction, LegKind, PathKind};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "no-clear-move",
    title: "The torch does not move clear",
    asks: "The torch rises or backs off between faces and after probing.",
    weight: Severity::Ruins,
    skill: Skill::WriteRoutine,
    page: include_str!("no_clear_move.md"),
    hints: [
        "The wire has just touched a face. Which way is out?",
        "Look at the move after the touch: does it lead through the part?",
        "Add a move to a point off the part, higher up, before the torch goes elsewhere.",
    ],
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
};

fn check(f: &Facts) -> Vec<Finding> {
    let mut found: Vec<Finding> = f
        .touches
        .iter()
        .filter_map(|t| {
            let next = next_place(f, t)?;
            let says = format!(
                "After the touch on {} the torch goes straight on to {}: first it has to back off or rise.",
                t.face, next
            );
            Some(Finding::says(says).step(f.id(t.step)).point(&t.point))
        })
        .collect();
    if found.is_empty() {
        found.extend(ran_into(f));
    }
    found
}

/// The step after a touch, if the torch should have moved clear first.
fn next_place(f: &Facts, t: &TouchFacts) -> Option<String> {
    let next = motion_after(f.routine, t.step)?;
    let to = f.routine.steps[next].instruction.point()?.to_owned();
    let ends = t.start + t.direction * t.meets().map_or(0.0, |m| m.travel);
    match &f.routine.steps[next].instruction {
        Instruction::WeldStart { .. } => Some(to),
        // A probe step next has no arrival: another finding.
        Instruction::Move { .. } => {
            let after = motion_after(f.routine, next);
            match after.map(|i| &f.routine.steps[i].instruction) {
                Some(Instruction::Probe { from, .. }) if *from == to => {
                    let other = f.touches.iter().find(|o| Some(o.step) == after)?;
                    let same = t.shares_face(other) || t.face == other.face;
                    (!same).then_some(to)
                }
                Some(Instruction::WeldStart { .. }) => {
                    approaches(f, next, after?, &ends).then_some(to)
                }
                _ => None,
            }
        }
        _ => None,
    }
}

/// Whether a move before a weld start is the approach and not a clear move: it follows the offset and
/// is nearer to the weld.
fn approaches(f: &Facts, i: usize, weld: usize, touch: &Point3<f64>) -> bool {
    let follows = f.structure.follow_at(i).is_some();
    let nearer =
        f.at(i).zip(f.at(weld)).is_some_and(|(at, weld)| (at - weld).norm() < (at - touch).norm());
    nearer && (follows || super::seam_not_followed::near(f, i, weld))
}

/// A travel move that ended in a crash.
fn ran_into(f: &Facts) -> Option<Finding> {
    let crashed =
        |r: &RunFacts| r.log.events.iter().any(|e| matches!(e.what, EventKind::Crash { .. }));
    // Only runs of the routine as it is now, since the last good reference.
    let since = f.runs.iter().rposition(RunFacts::good_reference).unwrap_or(0);
    let run = f.runs[since..].iter().find(|r| crashed(r) && same_moves(&r.routine, f.routine))?;
    // A wire bent before is another finding; obstacles that the drawing does not show are none.
    if run.bend.norm() > 0.0 || run.strange {
        return None;
    }
    let crash = run.log.events.iter().find(|e| matches!(e.what, EventKind::Crash { .. }))?;
    let EventKind::Crash { body, .. } = &crash.what else { return None };
    let leg = run.log.legs.iter().rev().find(|l| l.step == crash.step)?;
    if leg.kind == LegKind::Search {
        return None;
    }
    let i = f.place(Some(crash.step))?;
    let says = format!(
        "On {} the torch ran into {body}: the way there has to lead clear of it.",
        f.name(i)
    );
    Some(Finding::says(says).step(crash.step).run(run.number).time(Some(crash.time)))
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let i = f.place(finding.step)?;
    if let Some(t) = f.touches.iter().find(|t| t.step == i) {
        let name = new_name(f, "clear");
        let at = clear_of(&t.start, &t.direction);
        let mut edits = vec![teach(&name, at), add(i + 1, go(&name, PathKind::Linear))];
        // Over the part to the next face.
        let next = motion_after(f.routine, i).and_then(|n| f.at(n));
        let probe = f.touches.iter().find(|o| o.step > i && Some(o.start) == next);
        if let Some(o) = probe {
            let above = new_name(f, "above");
            edits.push(teach(&above, above_of(&o.start, &o.direction)));
            edits.push(add(i + 2, go(&above, PathKind::Joint)));
        }
        return Some(edits);
    }
    // Over the obstacle: straight up before the move that hit it.
    let before = crate::coach::facts::motion_before(f.routine, i)?;
    let mut at = f.at(before)?;
    at.z += super::help::CLEAR_MM;
    let name = new_name(f, "clear");
    Some(vec![teach(&name, at), add(i, go(&name, PathKind::Linear))])
}
