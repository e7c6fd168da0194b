use crate::coach::facts::{Facts, RunFacts, still};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits, cannot_mend};
use crate::coach::rule_name::RuleName;
use crate::coach::script::Script;
use crate::routine::{EventKind, Instruction};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::ArcInTrial,
    title: "The arc was on in a trial run",
    asks: "Trial runs are made with the arc off.",
    weight: Severity::Ruins,
    skill: Skill::RunReference,
    page: include_str!("arc_in_trial.md"),
    hints: [
        "What would an arc do on a run that is only meant to find out?",
        "Look at the arc switch of the reference run and the proof run.",
        "Leave the arc off until the proof run has gone well.",
    ],
    reads: Reads::Session,
    check,
    mend: cannot_mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits {
        cost: CostKind::BurnedLength,
        endangers_people: true,
        ..RuleTraits::USUAL
    },
};

fn check(f: &Facts) -> Vec<Finding> {
    // A run that feels and finds nothing is another mistake, unless it was meant as a reference run.
    let feels = |r: &RunFacts| {
        r.routine.steps.iter().any(|s| matches!(s.instruction, Instruction::Feel { .. }))
    };
    let trial = |r: &&RunFacts| {
        r.log.arc
            && match r.flag {
                Some(reference) => reference || is_a_proof(f, r),
                None => !feels(r) || r.stretches.iter().any(|s| s.reference_flag),
            }
    };
    let Some(r) = f.current().iter().find(trial) else { return Vec::new() };
    let kind = match r.flag {
        Some(true) => "reference run",
        Some(false) => "proof run",
        None if feels(r) => "reference run",
        None => "trial run",
    };
    let says =
        format!("The arc was on in run {}, a {kind}: trials are made with the arc off.", r.number);
    vec![RULE.says(says).run(r.number).time(r.when(|e| matches!(e, EventKind::ArcOn)))]
}

/// Whether a run compares with the part where the reference was taken, and none before it has proved
/// that reference.
fn is_a_proof(f: &Facts, r: &RunFacts) -> bool {
    if r.moved() {
        return false;
    }
    let Some(reference) = f.reference_before(r) else { return true };
    let proves = |p: &RunFacts| p.compares() && p.found() && still(&p.part, &reference.part);
    let proved = f.runs[reference.number..r.number - 1].iter().any(|p| proves(p) && !p.log.arc);
    !proved && still(&r.part, &reference.part)
}

fn without_mistake(_: &Facts, finding: &Finding, script: &mut Script) {
    if let Some(run) = finding.run.and_then(|n| script.run(n)) {
        run.arc = false;
    }
}
