use super::catalogue;
use super::facts::{Facts, motion_after};
use super::finding::{Finding, Severity};
use super::rule::Reads;

/// One mistake may violate several rules: the finding that names the cause stays, its consequences are
/// removed. Left: the cause. Right: its consequences. Exceptions that a rule can recognise by itself
/// are in the rule's own file.
const ECHOES: &[(&str, &[&str])] = &[
    // Without voltage the wire is pressed against the face and bent.
    ("feel-without-sensing", &["no-touch-ignored", "wire-bent-and-used"]),
    // The find lacks touches only because it stands before them.
    (
        "touches-never-used",
        &["too-few-touches", "one-sided-touches", "freedoms-too-many", "follow-before-found"],
    ),
    // These touches must move to another face anyway.
    ("one-sided-touches", &["short-baseline"]),
    // The run stored a reference instead of comparing.
    (
        "reference-flag-left-on",
        &[
            "reference-retaken-on-moved-part",
            "no-proof-run",
            "arc-in-trial",
            "first-run-too-fast",
            "wire-bent-and-used",
        ],
    ),
    // With a wrong reference every offset is wrong.
    (
        "reference-retaken-on-moved-part",
        &[
            "no-proof-run",
            "disagreement-ignored",
            "offset-beyond-play",
            "arc-in-trial",
            "first-run-too-fast",
            "wire-bent-and-used",
        ],
    ),
    (
        "reference-away-from-taught",
        &["no-proof-run", "disagreement-ignored", "offset-beyond-play", "wire-bent-and-used"],
    ),
    ("no-reference-run", &["no-proof-run", "first-run-too-fast", "arc-in-trial"]),
    // The change is the mistake, not the full speed of the run after it.
    (
        "feel-edited-after-reference",
        &["first-run-too-fast", "disagreement-ignored", "offset-beyond-play"],
    ),
    ("point-touched-up-while-following", &["first-run-too-fast"]),
    ("part-moved-mid-run", &["disagreement-ignored", "offset-beyond-play", "wire-bent-and-used"]),
    ("wire-bent-and-used", &["disagreement-ignored", "offset-beyond-play"]),
    // A stick-out that the arc has left.
    ("untrimmed-wire", &["stick-out-changed", "disagreement-ignored"]),
    // Touches that disagree give a wrong offset.
    ("disagreement-ignored", &["offset-beyond-play"]),
    ("stick-out-changed", &["disagreement-ignored", "offset-beyond-play"]),
    // The feel was removed.
    (
        "no-touch-ignored",
        &[
            "feel-edited-after-reference",
            "first-run-too-fast",
            "wire-bent-and-used",
            "too-few-touches",
            "one-sided-touches",
        ],
    ),
];

/// Consequences only in the run of the cause and later runs; in earlier runs mistakes of their own.
const FROM_THE_CAUSE_ON: &[&str] = &["arc-in-trial", "first-run-too-fast"];

/// Consequences, in the runs, of a routine that cannot work.
const ECHOES_OF_A_FAULTY_ROUTINE: &[&str] = &[
    "wire-bent-and-used",
    "no-touch-ignored",
    "no-reference-run",
    "disagreement-ignored",
    "offset-beyond-play",
];

/// Slight mistakes that may still cause a crash.
const MAY_CRASH: &[&str] = &["no-approach", "no-retreat"];

/// Removes findings that are consequences of another finding.
pub(super) fn without_echoes(facts: &Facts, mut findings: Vec<Finding>) -> Vec<Finding> {
    let seen: Vec<(&str, Severity, Option<usize>)> =
        findings.iter().map(|f| (f.rule, f.weight, f.run)).collect();
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
        let weighty = f.weight >= Severity::Misses
            && catalogue::rule(f.rule).is_some_and(|r| r.reads != Reads::Session);
        weighty || at_the_crash(f)
    });
    findings.retain(|f| !(explained && only_a_crash(f)));
    let tried = facts.runs.iter().any(super::facts::RunFacts::reference);
    findings.retain(|f| {
        let echo =
            ECHOES.iter().filter(|(_, echoes)| echoes.contains(&f.rule)).any(|(cause, _)| {
                seen.iter().any(|(rule, _, run)| {
                    rule == cause && (!FROM_THE_CAUSE_ON.contains(&f.rule) || *run <= f.run)
                })
            });
        let of_routine = faulty
            && ECHOES_OF_A_FAULTY_ROUTINE.contains(&f.rule)
            && (f.rule != "no-reference-run" || tried)
            // Removing a search is a mistake of its own.
            && (f.rule != "no-touch-ignored" || facts.place(f.step).is_some());
        !echo && !of_routine
    });
    findings
}

/// A crash without a visible mistake in the routine: any other finding is a better explanation.
fn only_a_crash(f: &Finding) -> bool {
    f.rule == "no-clear-move" && f.run.is_some()
}
