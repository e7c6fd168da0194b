//! A study's runs are ordinary runs, told in less.

#[path = "../coach/mutations/draft.rs"]
#[expect(dead_code, reason = "what changes a session is for the tests of the coach")]
mod draft;
#[path = "../coach/mutations/rng.rs"]
mod rng;

use draft::correct;
use nudgeproof::cell::{CellSettings, Fault, part_by_name};
use nudgeproof::coach::{self, RuleName};
use nudgeproof::lesson::rehearsed;
use nudgeproof::routine::{RunLog, RunSpeed};
use nudgeproof::session::{Action, Session, StopReason, Study};
use std::collections::BTreeSet;

/// A part of a study as the next run of its session.
fn watched(session: &Session, study: &Study, part: usize) -> RunLog {
    let mut session = session.clone();
    session.act_all(study.actions_of(part)).expect("the part can be run");
    RunLog::clone(session.state().last_run().expect("a run"))
}

/// Whole log, and what the tally has of it, to the last bit.
#[track_caller]
fn same(session: &Session, part: usize) -> RunLog {
    let study = Study::new(session.state(), 5).expect("it has a reference");
    let ordinary = watched(session, &study, part);
    let log = study.log(part);
    assert_eq!(*log, ordinary, "{}, part {part}: the whole log", session.state().part.name);
    // Others before it leave nothing behind.
    for from in [part, part.saturating_sub(2)] {
        let tally = study.run(from..part + 1);
        let found = tally.worst.iter().find(|w| w.part == part).map(|w| w.miss_mm.to_bits());
        let expected = ordinary.worst_miss().map(f64::to_bits);
        assert_eq!(found, expected, "{}, part {part}: the miss", session.state().part.name);
    }
    let alone = study.run(part..part + 1);
    let ended = (alone.landed == 1, alone.stopped == 1);
    assert_eq!(ended, (ordinary.landed(), !ordinary.finished()), "part {part}: how it ended");
    for end in &alone.ends {
        let weld = ordinary.welds.iter().find(|w| w.step == end.step).expect("its weld");
        let miss = weld.miss[usize::from(end.at_end)];
        assert_eq!(end.across.furthest(), Some(miss.across_mm.abs()), "across");
        assert_eq!(end.height.furthest(), Some(miss.height_mm.abs()), "in height");
    }
    ordinary
}

#[test]
fn on_many_parts_a_run_of_the_study_is_the_ordinary_run() {
    let mut parts = BTreeSet::new();
    for seed in 0..60 {
        let session = correct(seed).session();
        if parts.insert(session.state().part.name.clone()) {
            for part in 1..4 {
                same(&session, part);
            }
        }
    }
    assert!(parts.len() >= 8, "over {} parts", parts.len());
}

#[test]
fn with_every_fault_it_is_the_ordinary_run_too() {
    let (mut stopped, mut kinds) = (0, 0);
    for kind in nudgeproof::cell::FAULT_KINDS {
        let part = part_by_name("bench-side").expect("it comes with the program");
        let Some(fault) = (kind.typical)(&part, &CellSettings::default()) else { continue };
        let mut session = main_job();
        session.act(Action::Plant { fault: fault.clone() }).expect("it can be planted");
        let stops = (1..4).filter(|part| !same(&session, *part).finished()).count();
        (stopped, kinds) = (stopped + stops, kinds + 1);
        if fault == Fault::WorkLeadOff {
            let tally = Study::new(session.state(), 5).expect("it has a reference").run(1..9);
            let [stop] = &tally.stops[..] else { panic!("one reason: {:?}", tally.stops) };
            assert!(matches!(stop.why, StopReason::NotFelt { .. }), "{stop:?}");
            assert_eq!((stop.runs, stop.first), (8, 1), "all of them, the first one first");
        }
    }
    assert!(kinds >= 15 && stopped >= 3, "{kinds} faults, {stopped} stops");
}

fn main_job() -> Session {
    crate::support::session(crate::support::AS_IT_SHOULD_BE)
}

#[test]
fn ranges_add_up_to_the_whole_in_any_order() {
    let session = main_job();
    let study = Study::new(session.state(), 3).expect("it has a reference");
    let whole = study.run(1..101);
    let [a, b, c] = [study.run(1..40), study.run(40..41), study.run(41..101)];
    for order in [[&a, &b, &c], [&c, &a, &b], [&b, &c, &a]] {
        let mut sum = nudgeproof::session::Tally::default();
        for tally in order {
            sum.merge(tally);
        }
        assert_eq!(sum, whole, "to the last bit");
    }
    assert_eq!(whole.runs, 100, "every part is counted");
    assert!(whole.worst.len() > 3, "the worst are remembered");
    assert!(
        whole.worst.windows(2).all(|w| w[0].miss_mm.abs() >= w[1].miss_mm.abs()),
        "the worst first"
    );
}

/// The coach asks the learner for a dry run before the first weld on a moved part, and not the study.
#[test]
fn a_part_that_is_watched_is_not_the_learners_first_weld() {
    let part = part_by_name("bench-side").expect("it is there");
    let mut session = rehearsed(&part, 1).expect("a job");
    let study = Study::new(session.state(), 5).expect("it has a reference");
    session.act_all(study.actions_of(3)).expect("the part can be run");
    let untried = |session: &Session| {
        let findings = coach::review(session).findings;
        findings.iter().any(|finding| finding.rule == RuleName::ArcOnFirstMovedPart)
    };
    assert!(!untried(&session), "a part of the study");
    let weld = Action::Run { speed: RunSpeed::Full, arc: true, steps: None };
    session.act(weld).expect("it runs");
    assert!(untried(&session), "the learner's own");
}
