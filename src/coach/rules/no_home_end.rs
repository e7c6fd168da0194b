use super::help::{first_and_last, go_home, waits_at};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoHomeEnd,
    title: "The routine does not end at home",
    asks: "The last move goes home, to the same point as the first.",
    weight: Severity::Sloppy,
    skill: Skill::WriteRoutine,
    page: include_str!("no_home_end.md"),
    hints: [
        "Where does the torch wait while the next part is loaded?",
        "Look at the last move of the routine.",
        "Add a joint move to home after everything else.",
    ],
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

fn check(f: &Facts) -> Vec<Finding> {
    let ends_elsewhere = |[first, last]: &[usize; 2]| first != last && !waits_at(f, *last, *first);
    let Some([_, last]) = first_and_last(f).filter(ends_elsewhere) else { return Vec::new() };
    let says = format!(
        "{} is the last move; the torch should wait at home for the next part.",
        f.cap(last)
    );
    vec![RULE.says(says).step(f.id(last))]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    Some(go_home(f, None))
}
