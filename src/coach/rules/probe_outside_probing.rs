use super::help::{add, move_before};
use crate::coach::facts::{Facts, motion_before};
use crate::coach::finding::{Finding, Skill, Weight};
use crate::coach::rule::{Reads, Rule};
use crate::routine::Act;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "probe-outside-probing",
    title: "A probe step stands outside the probing",
    asks: "Every probe step stands between begin probing and finish probing.",
    weight: Weight::Misses,
    skill: Skill::WriteRoutine,
    page: include_str!("probe_outside_probing.md"),
    hints: [
        "Which touches does the offset come from?",
        "Look at the probing rail: is there a probe step that it does not span?",
        "Move the probe step, with the move that brings the torch there, between begin and finish probing.",
    ],
    reads: Reads::Routine,
    check,
    mend,
    unmake: None,
};

fn check(f: &Facts) -> Vec<Finding> {
    let stray = &f.structure.stray_probes;
    let Some(&first) = stray.first() else { return Vec::new() };
    let more = match stray.len() {
        1 => String::new(),
        n => format!(" So do {} more.", n - 1),
    };
    let says = format!(
        "{} stands outside begin and finish probing: its touch does not count.{more}",
        f.cap(first)
    );
    vec![Finding::says(says).step(f.id(first))]
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let probe = f.place(finding.step)?;
    let Some(block) = f.structure.blocks.first() else {
        let arrival = motion_before(f.routine, probe)?;
        let plan = f.routine.plans.first()?.name.clone();
        let mut edits = vec![add(arrival, Act::BeginProbing { plan })];
        if !f.routine.steps.iter().any(|s| matches!(s.act, Act::FinishProbing)) {
            let last = *f.structure.stray_probes.last()?;
            edits.push(add(last + 2, Act::FinishProbing));
        }
        return Some(edits);
    };
    if probe < block.begin {
        let arrival = motion_before(f.routine, probe).filter(|&a| goes_to_probe(f, a, probe));
        let onlyprobes =
            f.routine.steps[probe..block.begin].iter().all(|s| s.act.point().is_some());
        if onlyprobes {
            return Some(vec![move_before(f, block.begin, arrival.unwrap_or(probe))]);
        }
    }
    Some(bring_in(f, probe, block.finish?))
}

/// Moves a probe step and its arrival to just before `finish`.
pub(super) fn bring_in(f: &Facts, probe: usize, finish: usize) -> Vec<Action> {
    let arrival =
        motion_before(f.routine, probe).filter(|&a| a + 1 == probe && goes_to_probe(f, a, probe));
    let last = motion_before(f.routine, finish).unwrap_or(finish);
    // An arrival that was left behind, right before finish probing, keeps its place.
    let mut edits = Vec::new();
    if let Some(a) = arrival
        && !goes_to_probe(f, last, probe)
    {
        edits.push(Action::MoveStep {
            id: f.id(a),
            to: if a < finish { finish - 1 } else { finish },
        });
        let shift = usize::from(a > finish);
        let to = finish + shift;
        edits.push(Action::MoveStep {
            id: f.id(probe),
            to: if probe < finish { to - 1 } else { to },
        });
        return edits;
    }
    // Its arrival may still stand in the block.
    let left_behind = (0..finish).rev().find(|&a| goes_to_probe(f, a, probe));
    let before = left_behind.map_or(finish, |a| a + 1);
    edits.push(move_before(f, probe, before));
    edits
}

fn goes_to_probe(f: &Facts, a: usize, probe: usize) -> bool {
    matches!(&f.routine.steps[a].act, Act::Move { to, .. } if f.routine.steps[probe].act.point() == Some(to))
}
