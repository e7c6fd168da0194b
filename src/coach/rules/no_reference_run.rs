use super::watching::{back_and_flag_on, reference_before};
use crate::coach::facts::{Facts, RunFacts};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::routine::EventKind;
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoReferenceRun,
    weight: Severity::Misses,
    skill: Skill::RunReference,
    page: include_str!("no_reference_run.md"),
    reads: Reads::Session,
    check,
    mend,
    without_mistake: Some(reference_before),
    traits: RuleTraits {
        silences: &[RuleName::NoProofRun, RuleName::FirstRunTooFast, RuleName::ArcInTrial],
        ..RuleTraits::USUAL
    },
};

fn first<'f>(f: &'f Facts) -> Option<&'f RunFacts> {
    f.current().iter().find(|r| {
        let reaches_find = !r.log.solutions.is_empty()
            || r.log.events.iter().any(|e| matches!(e.what, EventKind::PlaceNotFound { .. }));
        let tried = f.runs[..r.number - 1].iter().any(RunFacts::reference);
        r.compares() && f.reference_before(r).is_none() && (reaches_find || !tried)
    })
}

fn check(f: &Facts) -> Vec<Finding> {
    let Some(r) = first(f) else { return Vec::new() };
    let tried = f.runs[..r.number - 1].iter().any(RunFacts::reference);
    let says =
        if tried { say::no_whole_reference_run(r.number) } else { say::no_reference_run(r.number) };
    vec![
        RULE.says(says)
            .run(r.number)
            .time(r.when(|e| matches!(e, EventKind::PlaceNotFound { .. }))),
    ]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    Some(back_and_flag_on(f))
}
