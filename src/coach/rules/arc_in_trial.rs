use crate::coach::facts::{Facts, RunFacts, still};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{CostKind, Reads, Rule, RuleTraits, cannot_mend};
use crate::coach::script::Script;
use crate::routine::{EventKind, Instruction};
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::ArcInTrial,
    weight: Severity::Ruins,
    skill: Skill::RunReference,
    page: include_str!("arc_in_trial.md"),
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
        Some(true) => say::a_reference_run(),
        Some(false) => say::a_proof_run(),
        None if feels(r) => say::a_reference_run(),
        None => say::a_trial_run(),
    };
    let says = say::arc_in_trial(r.number, kind);
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
