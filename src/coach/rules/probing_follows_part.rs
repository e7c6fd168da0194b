use super::help::{add, move_before};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule};
use crate::routine::Instruction;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: "probing-follows-part",
    title: "The probing rides with the part",
    asks: "No probe step stands inside a follow block, unless a second plan refines the first on purpose.",
    weight: Severity::Misses,
    skill: Skill::KeepFrame,
    page: include_str!("probing_follows_part.md"),
    hints: [
        "Where must a search start, so that what it finds tells how far the part has moved?",
        "Look at the two rails: do they overlap?",
        "Put follow after finish probing, so that every search starts where it was taught.",
    ],
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
};

fn check(f: &Facts) -> Vec<Finding> {
    let carried = |i: &usize| {
        let Some(follow) = f.structure.follow_at(*i) else { return false };
        // Probing while following another offset refines that offset: allowed.
        let refines = f.structure.block_at(*i).and_then(|b| f.plan_of(b)).is_some_and(|plan| {
            let filled_before = f.structure.blocks.iter().any(|b| {
                b.finish.is_some_and(|end| end < follow.begin)
                    && f.plan_of(b).is_some_and(|p| p.fills == follow.offset)
            });
            plan.fills != follow.offset && filled_before
        });
        !refines
    };
    let probes = |i: &usize| matches!(f.routine.steps[*i].instruction, Instruction::Probe { .. });
    let inside: Vec<usize> = (0..f.routine.steps.len()).filter(probes).filter(carried).collect();
    let Some(&first) = inside.first() else { return Vec::new() };
    let more = match inside.len() {
        1 => String::new(),
        2 => " So does one more.".into(),
        n => format!(" So do {} more.", n - 1),
    };
    let says = format!(
        "{} rides with the part: its search no longer starts where it was taught.{more}",
        f.cap(first)
    );
    vec![Finding::says(says).step(f.id(first))]
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let probe = f.place(finding.step)?;
    let follow = f.structure.follow_at(probe)?;
    if let Some(finish) = f.structure.block_at(probe).and_then(|b| b.finish) {
        let welds_before = f.routine.steps[follow.begin..probe]
            .iter()
            .any(|s| matches!(s.instruction, Instruction::WeldStart { .. }));
        if !welds_before {
            return Some(vec![move_before(f, follow.begin, finish + 1)]);
        }
    }
    if f.structure.block_at(probe).is_none() {
        // A single probe step: back into its block, with its arrival.
        let block = f.structure.blocks.iter().rfind(|b| b.finish.is_some_and(|e| e < probe))?;
        let finish = block.finish?;
        return Some(super::probe_outside_probing::bring_in(f, probe, finish));
    }
    Some(vec![
        add(f.structure.block_at(probe)?.begin, Instruction::StopFollowing),
        add(
            f.structure.block_at(probe)?.finish? + 2,
            Instruction::Follow { offset: follow.offset.clone() },
        ),
    ])
}
