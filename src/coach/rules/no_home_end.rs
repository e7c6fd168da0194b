use super::help::go_home;
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
    // After the last move home the wire may still be trimmed.
    let moves = |s: &crate::routine::Step| s.instruction.point().is_some();
    let last = f.routine.steps.iter().rposition(moves);
    let first = f.routine.steps.iter().position(moves);
    match last {
        Some(i) if first != last && !f.routine.steps[i].instruction.is_home() => {
            let name = f.cap(i);
            let says = format!(
                "{name} is the last move; the torch should wait at home for the next part."
            );
            vec![RULE.says(says).step(f.id(i))]
        }
        _ => Vec::new(),
    }
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    Some(go_home(f, None))
}
