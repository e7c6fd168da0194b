use super::help::{add, and_more, move_before};
use super::touches_never_used::bring_before;
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::routine::Instruction;
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FeelFollowsPart,
    weight: Severity::Misses,
    skill: Skill::KeepFrame,
    page: include_str!("feel_follows_part.md"),
    reads: Reads::Routine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

fn check(f: &Facts) -> Vec<Finding> {
    let carried = |i: &usize| {
        let Some(follow) = f.structure.follow_at(*i) else { return false };
        // Feeling for another place from one that is found refines it: allowed.
        let coarse =
            |b: &crate::routine::FindBlock| b.place == follow.place && b.step < follow.begin;
        let refines = f
            .structure
            .find_of(*i)
            .filter(|find| f.structure.follow_at(find.step) == Some(follow))
            .is_some_and(|find| find.place != follow.place && f.structure.finds.iter().any(coarse));
        !refines
    };
    let inside: Vec<usize> = f.touches.iter().map(|t| t.step).filter(carried).collect();
    let Some(&first) = inside.first() else { return Vec::new() };
    let says = say::then(say::feel_follows_part(f.step(first)), and_more(inside.len()));
    vec![RULE.says(says).step(f.id(first))]
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let feel = f.place(finding.step)?;
    let follow = f.structure.follow_at(feel)?;
    let Some(find) = f.structure.find_of(feel) else {
        // A single feel behind its find: back to the others.
        let before = f.structure.finds.iter().rfind(|b| b.step < feel)?;
        return Some(vec![bring_before(f, feel, before.step)]);
    };
    let welds_before = f.routine.steps[follow.begin..feel].iter().any(|s| s.instruction.is_weld());
    if !welds_before {
        return Some(vec![move_before(f, follow.begin, find.step + 1)]);
    }
    let first = *find.feels.first()?;
    let place = follow.place.clone();
    Some(vec![
        add(first, Instruction::StopFollowing),
        add(find.step + 2, Instruction::Follow { place }),
    ])
}
