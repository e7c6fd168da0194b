use super::help::change;
use crate::coach::facts::{Facts, verb};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::locate::Freedoms;
use crate::routine::Instruction;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FreedomsTooFew,
    title: "The part can do more than the find solves for",
    asks: "Ticked is all that the fixture lets the part do.",
    weight: Severity::Misses,
    skill: Skill::PlanTouches,
    page: include_str!("freedoms_too_few.md"),
    hints: [
        "Push the part with your hand: what can it do in this fixture?",
        "Compare what the find lets the part do with the play of the fixture.",
        "Tick all that the fixture lets the part do.",
    ],
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
    let mut verbs: Vec<&str> = missing.list().map(verb).collect();
    verbs.dedup();
    let says = format!(
        "{} solves for {}, and this fixture also lets the part {}.",
        f.cap(first.step),
        first.may.label(),
        verbs.join(" and ")
    );
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
