//! The coach on correct sessions, in all their legitimate variants, and on single mistakes in them:
//! no finding on any correct one, the rule that names it on every mistake, nothing where a change
//! changes nothing. What is right and wrong here is the catalogue's own wording (common practice,
//! no source).

mod draft;
mod mutations;
mod rng;

use draft::{Draft, correct};
use mutations::{HARMLESS, MUTATIONS};
use nudgeproof::coach::{self, Review};
use rng::Rng;
use std::collections::BTreeMap;

/// How many correct sessions are drawn, and how many mutants of each mutation.
const CORRECT: u64 = 120;
const MUTANTS: u64 = 12;

fn rules(review: &Review) -> Vec<&'static str> {
    let mut names: Vec<_> = review.findings.iter().map(|f| f.rule).collect();
    names.sort_unstable();
    names.dedup();
    names
}

fn says(draft: &Draft, review: &Review) -> String {
    let what: Vec<_> =
        review.findings.iter().map(|f| format!("\n    {}: {}", f.rule, f.message)).collect();
    format!("{}{}", draft.about, what.concat())
}

#[test]
fn a_correct_session_has_no_finding_and_full_marks() {
    let mut wrong = Vec::new();
    for seed in 0..CORRECT {
        let draft = correct(seed);
        let session = draft.session();
        let runs = &session.state().runs;
        assert!(
            runs.iter().all(|r| r.finished()),
            "{}: a run stops: {:?}",
            draft.about,
            runs.iter().map(|r| r.events.last()).collect::<Vec<_>>()
        );
        let review = coach::review(&session);
        let landed = runs.last().is_some_and(|r| r.landed());
        if !review.findings.is_empty() || !coach::check_routine(session.state()).is_empty() {
            wrong.push(says(&draft, &review));
        } else if landed && review.score.total != 100 {
            wrong.push(format!("{}: {:?}", draft.about, review.score));
        }
    }
    assert!(wrong.is_empty(), "{} of {CORRECT}:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn a_change_that_changes_nothing_has_no_finding() {
    let mut wrong = Vec::new();
    let mut made = 0;
    for (m, (name, change)) in HARMLESS.iter().enumerate() {
        for n in 0..MUTANTS / 2 {
            let seed = 5000 + 100 * m as u64 + n;
            let mut draft = correct(seed);
            if !change(&mut draft, &mut Rng(seed)) {
                continue;
            }
            made += 1;
            let review = coach::review(&draft.session());
            if !review.findings.is_empty() {
                wrong.push(format!("{name}: {}", says(&draft, &review)));
            }
        }
    }
    assert!(made >= 60, "only {made} were made");
    assert!(wrong.is_empty(), "{} of {made}:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn every_single_mistake_is_named() {
    let mut table: BTreeMap<&str, BTreeMap<&str, usize>> = BTreeMap::new();
    let mut made: BTreeMap<&str, usize> = BTreeMap::new();
    let mut wrong = Vec::new();
    for (m, mutation) in MUTATIONS.iter().enumerate() {
        let mut here = 0;
        // Not every variant can carry every mistake: then the next one is tried.
        for n in 0..4 * MUTANTS {
            if here == MUTANTS {
                break;
            }
            let seed = 10_000 + 1000 * m as u64 + n;
            let mut draft = correct(seed);
            if !(mutation.make)(&mut draft, &mut Rng(seed)) {
                continue;
            }
            here += 1;
            let review = coach::review(&draft.session());
            let named = rules(&review);
            *made.entry(mutation.rule).or_default() += 1;
            for rule in &named {
                *table.entry(mutation.rule).or_default().entry(rule).or_default() += 1;
            }
            if named.is_empty() {
                *table.entry(mutation.rule).or_default().entry("(nothing)").or_default() += 1;
            }
            let others: Vec<_> = named
                .iter()
                .filter(|r| **r != mutation.rule && !mutation.and.contains(r))
                .collect();
            if !named.contains(&mutation.rule) || !others.is_empty() {
                wrong.push(format!(
                    "{} -> {}: {}",
                    mutation.what,
                    mutation.rule,
                    says(&draft, &review)
                ));
            }
        }
        assert!(here > 0, "{}: no session can carry it", mutation.what);
    }
    println!("rule of the mistake | sessions | reported");
    for (rule, row) in &table {
        let row: Vec<_> = row.iter().map(|(r, n)| format!("{r} {n}")).collect();
        println!("{rule} | {} | {}", made[rule], row.join(", "));
    }
    let total: usize = made.values().sum();
    println!("{total} single mistakes, {} rules", made.len());
    assert!(total >= 280, "only {total} mistakes were made");
    assert_eq!(
        made.len(),
        coach::RULES.len(),
        "every rule has its mistake: {:?}",
        coach::RULES.iter().map(|r| r.name).filter(|n| !made.contains_key(n)).collect::<Vec<_>>()
    );
    assert!(wrong.is_empty(), "{} of {total}:\n{}", wrong.len(), wrong.join("\n"));
}

/// Somebody who teaches the routine step by step, with the part lying anywhere, and takes the
/// reference there, has done nothing wrong.
#[test]
fn a_session_is_reviewed_alike_every_time() {
    for seed in [3, 14, 15] {
        let mut draft = correct(seed);
        (MUTATIONS[2].make)(&mut draft, &mut Rng(seed));
        let (a, b) = (coach::review(&draft.session()), coach::review(&draft.session()));
        assert_eq!(a, b, "seed {seed}");
    }
}
