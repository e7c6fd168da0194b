use super::help::{first_and_last, go_home, waits_at};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoHomeStart,
    title: "The routine does not begin at home",
    asks: "The first move goes home, to the same point as the last.",
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
    let Some([first, _]) = first_and_last(f).filter(|[first, last]| !waits_at(f, *first, *last))
    else {
        return Vec::new();
    };
    let says = format!(
        "{} is the first move; it should go home, so that every run begins alike.",
        f.cap(first)
    );
    vec![RULE.says(says).step(f.id(first))]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    Some(go_home(f, Some(0)))
}
