use super::help::{first_and_last, go_home, waits_at};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoHomeEnd,
    weight: Severity::Sloppy,
    skill: Skill::WriteRoutine,
    page: include_str!("no_home_end.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

fn check(f: &Facts) -> Vec<Finding> {
    let ends_elsewhere = |[first, last]: &[usize; 2]| first != last && !waits_at(f, *last, *first);
    let Some([_, last]) = first_and_last(f).filter(ends_elsewhere) else { return Vec::new() };
    vec![RULE.says(say::no_home_end(f.step(last))).step(f.id(last))]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    Some(go_home(f, None))
}
