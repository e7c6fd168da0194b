use super::help::{add, change, go};
use crate::coach::facts::{Facts, motion_before};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::routine::{Instruction, PathKind};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "no-arrival",
    title: "A search starts from somewhere else",
    asks: "A probe step is preceded by a move to its own point.",
    weight: Severity::Ruins,
    skill: Skill::WriteRoutine,
    page: include_str!("no_arrival.md"),
    hints: [
        "Where does the torch stand when this search begins?",
        "Look at the step just before the probe step: which point does it go to?",
        "Put a joint move to the probe step's own point just before it.",
    ],
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
};

/// Points closer than this are one place taught twice, mm: the accuracy of teaching by hand.
pub(super) const ONE_PLACE_MM: f64 = 2.0;

/// The move to a probe step's point, and whether it uses the same taught point.
pub(super) fn arrival(f: &Facts, probe: usize) -> Option<(usize, bool)> {
    let before = motion_before(f.routine, probe)?;
    let Instruction::Move { to, .. } = &f.routine.steps[before].instruction else { return None };
    let Instruction::Probe { from, .. } = &f.routine.steps[probe].instruction else { return None };
    if to == from {
        return Some((before, true));
    }
    let apart = (f.at(before)? - f.at(probe)?).norm();
    (apart <= ONE_PLACE_MM).then_some((before, false))
}

fn check(f: &Facts) -> Vec<Finding> {
    f.touches
        .iter()
        .filter(|t| !f.structure.stray_probes.contains(&t.step))
        .filter(|t| arrival(f, t.step).is_none())
        .map(|t| {
            let from = match motion_before(f.routine, t.step) {
                Some(b) => match &f.routine.steps[b].instruction {
                    Instruction::Probe { from, .. } => {
                        format!("from where the search at {from} ended")
                    }
                    act => format!("from {}", act.point().unwrap_or("where it is")),
                },
                None => "from wherever the torch is".into(),
            };
            let says = format!(
                "{} has no move to {} before it: the search starts {from}.",
                f.cap(t.step),
                t.point
            );
            Finding::says(says).step(f.id(t.step)).point(&t.point)
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let probe = f.place(finding.step)?;
    let point = f.routine.steps[probe].instruction.point()?;
    // A repeated search.
    if let Some(before) = motion_before(f.routine, probe)
        && f.routine.steps[before].instruction == f.routine.steps[probe].instruction
    {
        return Some(vec![Action::DeleteStep { id: f.id(probe) }]);
    }
    // The arrival may be just after it.
    if let Some(next) = f.routine.steps.get(probe + 1)
        && matches!(&next.instruction, Instruction::Move { to, .. } if to == point)
    {
        return Some(vec![super::help::move_before(f, probe + 1, probe)]);
    }
    // A move to another place just before it is a wrong arrival, unless it is the clear move from another
    // face.
    if let Some(i) = probe.checked_sub(1)
        && matches!(f.routine.steps[i].instruction, Instruction::Move { .. })
    {
        let touched =
            motion_before(f.routine, i).and_then(|k| f.touches.iter().find(|t| t.step == k));
        let mine = f.touches.iter().find(|t| t.step == probe);
        let way_out = touched.zip(mine).is_some_and(|(a, b)| !a.shares_face(b) && a.face != b.face);
        let others =
            f.routine.steps[..i].iter().any(|s| matches!(s.instruction, Instruction::Move { .. }));
        let there = f.routine.steps[i].instruction.point();
        let going = f.routine.steps.iter().filter(|s| s.instruction.point() == there);
        let spare = going.filter(|s| matches!(s.instruction, Instruction::Move { .. })).count() > 1;
        if !way_out && others && spare {
            return Some(vec![change(f, i, go(point, PathKind::Joint))]);
        }
    }
    Some(vec![add(probe, go(point, PathKind::Joint))])
}
