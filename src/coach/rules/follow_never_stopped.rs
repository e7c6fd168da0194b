use super::help::add;
use crate::coach::facts::{Facts, motion_after};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits};
use crate::routine::Instruction;
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FollowNeverStopped,
    weight: Severity::Ruins,
    skill: Skill::KeepFrame,
    page: include_str!("follow_never_stopped.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits { cost: CostKind::HomeMissed, ..RuleTraits::USUAL },
};

fn check(f: &Facts) -> Vec<Finding> {
    f.structure
        .follows
        .iter()
        .filter(|b| b.end.is_none())
        .map(|b| {
            let home = (b.begin..f.routine.steps.len())
                .rev()
                .find(|&i| f.routine.steps[i].instruction.is_home());
            let even = home.map(|i| say::even_home_rides(f.step(i)));
            let says = say::follow_never_stopped(f.step(b.begin));
            RULE.says(say::then(says, even)).step(f.id(b.begin))
        })
        .collect()
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let begin = f.place(finding.step)?;
    let len = f.routine.steps.len();
    let last_weld = (begin..len)
        .rev()
        .find(|&i| matches!(f.routine.steps[i].instruction, Instruction::WeldEnd { .. }));
    // Neither home nor the wire cutter moves with the part.
    let stays = |&i: &usize| {
        let instruction = &f.routine.steps[i].instruction;
        instruction.is_home() || *instruction == Instruction::TrimWire
    };
    let first = (last_weld.unwrap_or(begin)..len).find(stays);
    let at = first.unwrap_or_else(|| {
        last_weld.and_then(|w| motion_after(f.routine, w)).map_or(len, |retreat| retreat + 1)
    });
    Some(vec![add(at, Instruction::StopFollowing)])
}
