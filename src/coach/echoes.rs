use super::catalogue::rule;
use super::facts::{Facts, motion_after};
use super::finding::{Finding, Severity};
use super::rule::Reads;
use super::rule_name::RuleName;

/// Consequences only in the run of the cause and later runs; in earlier runs mistakes of their own.
const FROM_THE_CAUSE_ON: &[RuleName] = &[RuleName::ArcInTrial, RuleName::FirstRunTooFast];

/// Consequences, in the runs, of a routine that cannot work.
const ECHOES_OF_A_FAULTY_ROUTINE: &[RuleName] = &[
    RuleName::WireBentAndUsed,
    RuleName::NoTouchIgnored,
    RuleName::NoReferenceRun,
    RuleName::DisagreementIgnored,
    RuleName::OffsetBeyondPlay,
];

/// Slight mistakes that may still cause a crash.
const MAY_CRASH: &[RuleName] = &[RuleName::NoApproach, RuleName::NoRetreat];

/// Removes findings that are consequences of another finding.
pub(super) fn without_echoes(facts: &Facts, mut findings: Vec<Finding>) -> Vec<Finding> {
    let seen: Vec<(RuleName, Option<usize>)> = findings.iter().map(|f| (f.rule, f.run)).collect();
    // A crash is explained by any serious mistake that is not itself a consequence of the crash, and by
    // a slight one at the same step or the next.
    let crash = findings.iter().find(|f| only_a_crash(f)).and_then(|f| facts.place(f.step));
    let at_the_crash = |f: &Finding| {
        MAY_CRASH.contains(&f.rule)
            && facts.place(f.step).zip(crash).is_some_and(|(a, b)| {
                a.abs_diff(b) <= 1 || motion_after(facts.routine, a) == Some(b)
            })
    };
    let explained = findings.iter().any(|f| {
        let weighty = f.weight >= Severity::Misses && !ECHOES_OF_A_FAULTY_ROUTINE.contains(&f.rule);
        (weighty && !only_a_crash(f)) || at_the_crash(f)
    });
    let faulty = findings.iter().any(|f| {
        let weighty = f.weight >= Severity::Misses && rule(f.rule).reads != Reads::Session;
        weighty || at_the_crash(f)
    });
    findings.retain(|f| !(explained && only_a_crash(f)));
    let tried = facts.runs.iter().any(super::facts::RunFacts::reference);
    findings.retain(|f| {
        // One mistake may violate several rules: the cause stays, its consequences go.
        let echo = seen.iter().any(|(cause, run)| {
            rule(*cause).traits.silences.contains(&f.rule)
                && (!FROM_THE_CAUSE_ON.contains(&f.rule) || *run <= f.run)
        });
        let of_routine = faulty
            && ECHOES_OF_A_FAULTY_ROUTINE.contains(&f.rule)
            && (f.rule != RuleName::NoReferenceRun || tried)
            // Removing a search is a mistake of its own.
            && (f.rule != RuleName::NoTouchIgnored || facts.place(f.step).is_some());
        !echo && !of_routine
    });
    findings
}

/// A crash without a visible mistake in the routine: any other finding is a better explanation.
fn only_a_crash(f: &Finding) -> bool {
    f.rule == RuleName::NoClearMove && f.run.is_some()
}
