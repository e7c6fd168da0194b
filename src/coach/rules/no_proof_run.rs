use super::watching::run_before;
use crate::coach::facts::{Facts, still};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::script::Script;
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoProofRun,
    weight: Severity::Sloppy,
    skill: Skill::RunReference,
    page: include_str!("no_proof_run.md"),
    reads: Reads::Session,
    check,
    mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits::USUAL,
};

fn check(f: &Facts) -> Vec<Finding> {
    let Some(r) = f.current().iter().find(|r| r.compares() && !r.of_study) else {
        return Vec::new();
    };
    let Some(reference) = f.runs[..r.number - 1].iter().rev().find(|r| r.reference()) else {
        return Vec::new();
    };
    if still(&r.part, &reference.part) {
        return Vec::new();
    }
    vec![RULE.says(say::no_proof_run(r.number)).run(r.number)]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    let back = f.state.by_hand([Action::place_part(f.taught)]);
    Some(back.into_iter().chain(f.state.turn_reference(false)).collect())
}

fn without_mistake(f: &Facts, finding: &Finding, script: &mut Script) {
    run_before(f, finding, script, |_| {});
}
