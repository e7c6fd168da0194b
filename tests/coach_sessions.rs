//! The coach on whole sessions written by hand, and while a routine is still being built.

use nudgeproof::coach::{self, Review};
use nudgeproof::session::Session;
use std::path::Path;

fn session(name: &str) -> Session {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/sessions").join(name);
    let text = std::fs::read_to_string(&path).expect("the case is there");
    Session::from_json(&text).unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn rules(review: &Review) -> Vec<&'static str> {
    review.findings.iter().map(|f| f.rule).collect()
}

#[test]
fn the_main_job_gets_full_marks() {
    let review = coach::review(&session("as-it-should-be.json"));
    assert!(review.findings.is_empty(), "{:?}", review.findings);
    assert_eq!(review.score.total, 100, "{:?}", review.score);
}

#[test]
fn home_in_the_follow_block_costs_what_home_is_missed_by() {
    let session = session("home-rides-along.json");
    let review = coach::review(&session);
    assert_eq!(rules(&review), ["home-follows-part"], "{:?}", review.findings);
    let home = session.state().routine.point("home").expect("home").at;
    // Where the torch waits after the run, against where home was taught.
    let missed = (session.state().torch - home).norm();
    let mm = review.findings[0].cost.mm.expect("a cost");
    assert!((mm - missed).abs() < 1e-9, "{mm} against {missed}");
}

#[test]
fn a_reference_retaken_on_the_moved_part_costs_the_miss_at_the_seam() {
    let session = session("reference-retaken.json");
    let review = coach::review(&session);
    assert_eq!(rules(&review), ["reference-retaken-on-moved-part"], "{:?}", review.findings);
    let miss = session.state().last_run().and_then(|r| r.worst_miss()).expect("a weld").abs();
    let mm = review.findings[0].cost.mm.expect("a cost");
    // The run itself is noisy, the cost is worked out without noise: three sigma at the seam.
    assert!((mm - miss).abs() < 0.5, "{mm} against {miss}");
    assert!(review.score.total < 60, "{:?}", review.score);
}

/// While the main job is taught step by step, the coach keeps quiet: what could still come is not
/// missed yet.
#[test]
fn nothing_is_said_while_a_correct_routine_is_being_built() {
    let whole = session("as-it-should-be.json");
    for n in 0..=whole.actions().len() {
        let state = whole.state_before(n).expect("a state");
        let found = coach::check_routine(state);
        // The last step is in place, and the plan is still as it came: that may be marked.
        let complete = state.routine.steps.len() == 20;
        if complete && found.iter().all(|f| f.rule == "freedoms-too-few") {
            continue;
        }
        assert!(found.is_empty(), "after {n} actions: {found:?}");
    }
}

#[test]
fn help_costs_and_is_told() {
    let whole = session("as-it-should-be.json");
    let with = |name: &str, extra: &str| {
        let action = serde_json::from_str(extra).unwrap_or_else(|e| panic!("{name}: {e}"));
        let actions = whole.actions().iter().cloned().chain([action]);
        coach::review(&whole.replayed(actions).expect("it replays")).score
    };
    let hint = with("hint", r#"{"action": "hint", "rule": "no-arrival", "rung": 3}"#);
    let mend = with("mended", r#"{"action": "mended", "rule": "no-arrival"}"#);
    assert!(hint.total < 100, "a hint costs: {hint:?}");
    assert!(mend.total < hint.total, "a mend costs more: {mend:?}");
}
