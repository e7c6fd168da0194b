use super::help::change;
use crate::coach::facts::{Facts, verb};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::locate::Freedoms;
use crate::routine::Instruction;
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FreedomsTooFew,
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("freedoms_too_few.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

fn check(f: &Facts) -> Vec<Finding> {
    let Some(first) = f.structure.finds.first() else { return Vec::new() };
    let covered: Freedoms = f.structure.finds.iter().map(|find| find.may).collect();
    let missing = f.state.part.play.free().difference(covered);
    if missing.is_empty() || first.feels.is_empty() {
        return Vec::new();
    }
    let mut also: Vec<_> = missing.list().map(verb).collect();
    also.dedup();
    let says = say::freedoms_too_few(f.step(first.step), first.may.said(), say::all_of(also));
    vec![RULE.says(says).step(f.id(first.step))]
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    with_play_freedoms(f, finding)
}

/// The find with the freedoms that the fixture leaves.
pub(super) fn with_play_freedoms(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let find = f.find_at(f.place(finding.step)?)?;
    let (place, may) = (find.place.clone(), f.state.part.play.freedoms());
    Some(vec![change(f, find.step, Instruction::Find { place, may })])
}
