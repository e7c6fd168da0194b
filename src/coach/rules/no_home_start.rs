use super::help::go_home;
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoHomeStart,
    title: "The routine does not begin at home",
    asks: "The first move goes home.",
    weight: Severity::Sloppy,
    skill: Skill::WriteRoutine,
    page: include_str!("no_home_start.md"),
    hints: [
        "Where is the torch before the first step, and who says so?",
        "Look at the first move of the routine.",
        "Put a joint move to home before everything else.",
    ],
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

fn check(f: &Facts) -> Vec<Finding> {
    let first = f.routine.steps.iter().position(|s| s.instruction.moves());
    match first {
        Some(i) if !f.routine.steps[i].instruction.is_home() => {
            let name = f.cap(i);
            let says = format!(
                "{name} is the first move; it should go home, so that every run begins alike."
            );
            vec![RULE.says(says).step(f.id(i))]
        }
        _ => Vec::new(),
    }
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    Some(go_home(f, Some(0)))
}
