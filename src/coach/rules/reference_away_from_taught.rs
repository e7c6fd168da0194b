use super::watching::{back_and_flag_on, place, run_of, without_fault};
use crate::cell::Fault;
use crate::coach::facts::{Facts, RunFacts};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::script::Script;
use crate::routine::EventKind;
use crate::session::Action;
use crate::text::{RuleName, angle, mm, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::ReferenceAwayFromTaught,
    weight: Severity::Ruins,
    skill: Skill::RunReference,
    page: include_str!("reference_away_from_taught.md"),
    reads: Reads::Session,
    check,
    mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits {
        silences: &[
            RuleName::ProofOffsetIgnored,
            RuleName::NoProofRun,
            RuleName::FirstRunTooFast,
            RuleName::DisagreementIgnored,
            RuleName::OffsetBeyondPlay,
            RuleName::WireBentAndUsed,
        ],
        reveals: true,
        ..RuleTraits::USUAL
    },
};

fn first<'f>(f: &'f Facts) -> Option<&'f RunFacts> {
    f.current().iter().find(|r| {
        let good_before = f.runs[..r.number - 1].iter().any(RunFacts::good_reference);
        r.reference() && r.stored() && r.moved() && !good_before && !f.good_reference_after(r)
    })
}

fn check(f: &Facts) -> Vec<Finding> {
    let Some(r) = first(f) else { return Vec::new() };
    let by = r.taught.inverse() * r.part;
    let about = crate::geometry::Point3::from(f.state.part.play.about);
    let far = mm(by.displacement(&about).norm(), 1);
    let says = say::reference_away(r.number, far, angle(by.angle(), 1));
    vec![
        RULE.says(says)
            .run(r.number)
            .time(r.when(|e| matches!(e, EventKind::ReferenceStored { .. }))),
    ]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    Some(back_and_flag_on(f))
}

fn without_mistake(f: &Facts, finding: &Finding, script: &mut Script) {
    let Some(r) = run_of(f, finding) else { return };
    // Moved by a fault, for this run alone; or by hand, and it stays there.
    let of_fault = |f: &Fault| matches!(f, Fault::ReferenceOnMovedPart { .. });
    without_fault(script, of_fault);
    if r.stretches.iter().any(|s| s.faults.iter().any(of_fault)) {
        return;
    }
    let Some(at) = script.index_of_run(r.number) else { return };
    script.entries.insert(at + 1, place(r.part));
    script.entries.insert(at, place(r.taught));
}
