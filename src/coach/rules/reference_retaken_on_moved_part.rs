use super::watching::back_and_flag_on;
use crate::coach::facts::{Facts, RunFacts};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::script::Script;
use crate::routine::EventKind;
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::ReferenceRetakenOnMovedPart,
    weight: Severity::Ruins,
    skill: Skill::RunReference,
    page: include_str!("reference_retaken_on_moved_part.md"),
    reads: Reads::Session,
    check,
    mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits {
        // With a wrong reference every offset is wrong.
        silences: &[
            RuleName::NoProofRun,
            RuleName::DisagreementIgnored,
            RuleName::OffsetBeyondPlay,
            RuleName::ArcInTrial,
            RuleName::FirstRunTooFast,
            RuleName::WireBentAndUsed,
        ],
        reveals: true,
        ..RuleTraits::USUAL
    },
};

fn first<'f>(f: &'f Facts) -> Option<&'f RunFacts> {
    f.current().iter().find(|r| {
        let good_before = f.runs[..r.number - 1].iter().any(RunFacts::good_reference);
        // Of several places one is enough: the flag may have been turned off before the next find.
        r.stored() && r.moved() && good_before && !f.good_reference_after(r)
    })
}

fn check(f: &Facts) -> Vec<Finding> {
    let Some(r) = first(f) else { return Vec::new() };
    vec![
        RULE.says(say::reference_retaken(r.number))
            .run(r.number)
            .time(r.when(|e| matches!(e, EventKind::ReferenceStored { .. }))),
    ]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    Some(back_and_flag_on(f))
}

fn without_mistake(f: &Facts, finding: &Finding, script: &mut Script) {
    let from = finding.run.unwrap_or(usize::MAX);
    let moved: Vec<usize> = f.runs.iter().filter(|r| r.moved()).map(|r| r.number).collect();
    script
        .runs()
        .filter(|t| t.number >= from && moved.contains(&t.number))
        .for_each(|t| t.reference_flag = false);
}
