use super::watching::run_before;
use crate::coach::facts::{Facts, still};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::coach::script::Script;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoProofRun,
    title: "The first run that compares was made on a moved part",
    asks: "The first run with the flag off is made before the part is moved.",
    weight: Severity::Sloppy,
    skill: Skill::RunReference,
    page: include_str!("no_proof_run.md"),
    hints: [
        "How do you know that the routine finds nothing when nothing has moved?",
        "Look at the first run with the flag off: had the part been moved already?",
        "With the part still in place, run once with the flag off: the offset must come out as nothing.",
    ],
    reads: Reads::Session,
    check,
    mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits::USUAL,
};

fn check(f: &Facts) -> Vec<Finding> {
    let Some(r) = f.current().iter().find(|r| r.compares()) else { return Vec::new() };
    let Some(reference) = f.runs[..r.number - 1].iter().rev().find(|r| r.reference()) else {
        return Vec::new();
    };
    if still(&r.part, &reference.part) {
        return Vec::new();
    }
    let says = format!(
        "Run {} is the first that compares, and the part had been moved already: nothing proved the routine before.",
        r.number
    );
    vec![RULE.says(says).run(r.number)]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    let back = f.state.by_hand([Action::place_part(f.taught)]);
    Some(back.into_iter().chain(f.state.turn_reference(false)).collect())
}

fn without_mistake(f: &Facts, finding: &Finding, script: &mut Script) {
    run_before(f, finding, script, |_| {});
}
