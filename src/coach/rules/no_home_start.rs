use super::help::{first_and_last, go_home, waits_at};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoHomeStart,
    weight: Severity::Sloppy,
    skill: Skill::WriteRoutine,
    page: include_str!("no_home_start.md"),
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
    vec![RULE.says(say::no_home_start(f.step(first))).step(f.id(first))]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    Some(go_home(f, Some(0)))
}
