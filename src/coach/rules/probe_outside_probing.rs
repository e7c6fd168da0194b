use super::help::{add, clear_of, go, move_before, new_name, teach};
use crate::coach::facts::{Facts, motion_before};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::routine::{Instruction, PathKind, StepId};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "probe-outside-probing",
    title: "A probe step stands outside the probing",
    asks: "Every probe step stands between begin probing and finish probing.",
    weight: Severity::Misses,
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
    without_mistake: None,
};

fn check(f: &Facts) -> Vec<Finding> {
    let stray = &f.structure.stray_probes;
    let Some(&first) = stray.first() else { return Vec::new() };
    let more = match stray.len() {
        1 => String::new(),
        2 => " So does one more.".into(),
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
        let mut edits = vec![add(arrival, Instruction::BeginProbing { plan })];
        if !f.routine.steps.iter().any(|s| matches!(s.instruction, Instruction::FinishProbing)) {
            let last = *f.structure.stray_probes.last()?;
            edits.push(add(last + 2, Instruction::FinishProbing));
        }
        return Some(edits);
    };
    if probe < block.begin {
        let arrival = motion_before(f.routine, probe).filter(|&a| goes_to_probe(f, a, probe));
        let onlyprobes =
            f.routine.steps[probe..block.begin].iter().all(|s| s.instruction.point().is_some());
        if onlyprobes {
            return Some(vec![move_before(f, block.begin, arrival.unwrap_or(probe))]);
        }
    }
    Some(bring_in(f, probe, block.finish?))
}

/// Moves a probe step and its arrival to just before `finish`, with a clear move after it if the torch
/// would continue to the weld from there.
pub(super) fn bring_in(f: &Facts, probe: usize, finish: usize) -> Vec<Action> {
    let arrival = probe.checked_sub(1).filter(|&a| goes_to_probe(f, a, probe));
    let left_behind = (0..finish).rev().find(|&a| goes_to_probe(f, a, probe));
    if let (None, Some(a)) = (arrival, left_behind) {
        return vec![move_before(f, probe, a + 1)];
    }
    let moved: Vec<StepId> = arrival.into_iter().chain([probe]).map(|i| f.id(i)).collect();
    let mut order: Vec<StepId> = f.routine.steps.iter().map(|s| s.id).collect();
    let mut edits = Vec::new();
    let mut to = finish;
    for id in &moved {
        order.retain(|o| o != id);
        to = order.iter().position(|o| *o == f.id(finish)).unwrap_or(order.len());
        order.insert(to, *id);
        edits.push(Action::MoveStep { id: *id, to });
    }
    let next = (finish + 1..f.routine.steps.len())
        .find(|&i| !moved.contains(&f.id(i)) && f.routine.steps[i].instruction.point().is_some());
    let on_to_weld = next.is_some_and(|i| f.structure.follow_at(i).is_some());
    if let Some(t) = f.touches.iter().find(|t| t.step == probe && on_to_weld) {
        let name = new_name(f, "clear");
        edits.push(teach(&name, clear_of(&t.start, &t.direction)));
        edits.push(add(to + 1, go(&name, PathKind::Linear)));
    }
    edits
}

fn goes_to_probe(f: &Facts, a: usize, probe: usize) -> bool {
    matches!(&f.routine.steps[a].instruction, Instruction::Move { to, .. } if f.routine.steps[probe].instruction.point() == Some(to))
}
