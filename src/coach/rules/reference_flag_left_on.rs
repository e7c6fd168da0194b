use super::watching::{back_and_flag_on, run_of, same_feels};
use crate::coach::facts::{Facts, RunFacts};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::script::Script;
use crate::routine::EventKind;
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::ReferenceFlagLeftOn,
    weight: Severity::Misses,
    skill: Skill::RunReference,
    page: include_str!("reference_flag_left_on.md"),
    reads: Reads::Session,
    check,
    mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits {
        // The run stored a reference instead of comparing.
        silences: &[
            RuleName::ReferenceRetakenOnMovedPart,
            RuleName::NoProofRun,
            RuleName::ArcInTrial,
            RuleName::FirstRunTooFast,
            RuleName::WireBentAndUsed,
        ],
        ..RuleTraits::USUAL
    },
};

/// The first run that was made with the flag still on, for no reason.
fn first<'f>(f: &'f Facts) -> Option<&'f RunFacts> {
    let runs = f.current();
    let chain =
        runs.iter().take_while(|r| !r.compares()).filter(|r| r.reference()).collect::<Vec<_>>();
    let next = runs.iter().find(|r| r.compares());
    let proof_skipped = next.is_some_and(RunFacts::moved);
    chain
        .windows(2)
        .find_map(|w| {
            let (before, r) = (w[0], w[1]);
            let reason = !before.stored()
                || (before.moved() && !r.moved())
                || before.wire != r.wire
                || !same_feels(before, r)
                || flag_was_off(f, before, r);
            let spoiled = r.moved() && !f.good_reference_after(r);
            (!reason && (spoiled || proof_skipped)).then_some(r)
        })
        // Left on and then used on a moved part later in the chain.
        .or_else(|| {
            let moved = chain.iter().position(|r| r.moved())?;
            let before = *chain.get(moved.checked_sub(1)?)?;
            let r = chain[moved];
            (before.good_reference() && !f.good_reference_after(r) && !flag_was_off(f, before, r))
                .then_some(r)
        })
}

/// Whether the learner had turned the flag off somewhere between two runs.
pub(super) fn flag_was_off(f: &Facts, before: &RunFacts, run: &RunFacts) -> bool {
    f.runs[before.number..run.number].iter().any(|r| r.flag_was_off)
}

fn check(f: &Facts) -> Vec<Finding> {
    let Some(r) = first(f) else { return Vec::new() };
    let says =
        if r.moved() { say::flag_left_on_moved(r.number) } else { say::flag_left_on(r.number) };
    vec![
        RULE.says(says)
            .run(r.number)
            .time(r.when(|e| matches!(e, EventKind::ReferenceStored { .. }))),
    ]
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let moved = run_of(f, finding).is_some_and(RunFacts::moved);
    Some(if moved {
        back_and_flag_on(f)
    } else {
        f.state.turn_reference(false).into_iter().collect()
    })
}

fn without_mistake(_: &Facts, finding: &Finding, script: &mut Script) {
    let from = finding.run.unwrap_or(usize::MAX);
    script.runs().filter(|t| t.number >= from).for_each(|t| t.reference_flag = false);
}
