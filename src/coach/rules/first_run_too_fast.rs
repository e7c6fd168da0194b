use super::watching::same_moves;
use crate::cell::REDUCED_SPEED_MM_S;
use crate::coach::facts::{Facts, RunFacts};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits, cannot_mend};
use crate::coach::rule_name::RuleName;
use crate::coach::script::Script;
use crate::routine::RunSpeed;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::FirstRunTooFast,
    title: "The first run was at full speed",
    asks: "The first run of a changed routine is at reduced speed.",
    weight: Severity::Ruins,
    skill: Skill::RunReference,
    page: include_str!("first_run_too_fast.md"),
    hints: [
        "If a point is wrong, how much time is there to stop the torch?",
        "Look at the speed of the first run after the routine was changed.",
        "Choose reduced speed for the first run of every changed routine.",
    ],
    reads: Reads::Session,
    check,
    mend: cannot_mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits { cost: CostKind::Speed, endangers_people: true, ..RuleTraits::USUAL },
};

fn first<'f>(f: &'f Facts) -> Option<&'f RunFacts> {
    f.current().iter().find(|r| {
        let tried =
            |b: &&RunFacts| b.log.speed == RunSpeed::Reduced && same_moves(&b.routine, &r.routine);
        r.log.speed == RunSpeed::Full && !f.runs[..r.number - 1].iter().any(|b| tried(&b))
    })
}

fn check(f: &Facts) -> Vec<Finding> {
    let Some(r) = first(f) else { return Vec::new() };
    let new = if r.number == 1 {
        "the routine had never been run"
    } else {
        "the routine had been changed"
    };
    let says = format!(
        "Run {} was at full speed, and {new} at reduced speed before (at most {:.0} mm/s).",
        r.number, REDUCED_SPEED_MM_S
    );
    let says = says.replace(
        "had been changed at reduced speed before",
        "had not been run at reduced speed since it was changed",
    );
    vec![RULE.says(says).run(r.number)]
}

fn without_mistake(_: &Facts, finding: &Finding, script: &mut Script) {
    if let Some(run) = finding.run.and_then(|n| script.run(n)) {
        run.speed = RunSpeed::Reduced;
    }
}
