//! The coach on whole sessions written by hand, and while a routine is still being built.

use crate::support::{AS_IT_SHOULD_BE, HOME_RIDES_ALONG, REFERENCE_RETAKEN, assert_near, session};
use nudgeproof::coach::{self, Review};
use nudgeproof::io::from_json;
use nudgeproof::routine::{Event, EventKind};
use nudgeproof::session::Session;

fn rules(review: &Review) -> Vec<&'static str> {
    review.findings.iter().map(|f| f.rule).collect()
}

#[test]
fn the_main_job_gets_full_marks() {
    let review = coach::review(&session(AS_IT_SHOULD_BE));
    assert!(review.findings.is_empty(), "{:?}", review.findings);
    assert_eq!(review.score.total, 100, "{:?}", review.score);
}

#[test]
fn home_in_the_follow_block_costs_what_home_is_missed_by() {
    let session = session(HOME_RIDES_ALONG);
    let review = coach::review(&session);
    assert_eq!(rules(&review), ["home-follows-part"], "{:?}", review.findings);
    let home = session.state().routine.point("home").expect("home").at;
    // Where the torch waits after the run, against where home was taught.
    let missed = (session.state().torch - home).norm();
    let mm = review.findings[0].cost.mm.expect("a cost");
    assert_near("how far home is missed", mm, missed, 1e-9);
}

#[test]
fn a_reference_retaken_on_the_moved_part_costs_the_miss_at_the_seam() {
    let session = session(REFERENCE_RETAKEN);
    let review = coach::review(&session);
    assert_eq!(rules(&review), ["reference-retaken-on-moved-part"], "{:?}", review.findings);
    let miss = session.state().last_run().and_then(|r| r.worst_miss()).expect("a weld").abs();
    let mm = review.findings[0].cost.mm.expect("a cost");
    // The run itself is noisy, the cost is worked out without noise: three sigma at the seam.
    assert_near("miss at the seam", mm, miss, 0.5);
    assert!(review.score.total < 60, "{:?}", review.score);
}

/// A moved clamp or another part in the cell is not a mistake of the routine.
#[test]
fn nobody_is_blamed_for_what_was_put_in_the_way() {
    let whole = session(AS_IT_SHOULD_BE);
    for fault in [
        r#"{"fault": "clamp-moved", "clamp": "south stop", "dx": 62, "dy": 14}"#,
        r#"{"fault": "wrong-part", "part": "bench-side-short"}"#,
    ] {
        let plant = format!(r#"{{"action": "plant", "fault": {fault}}}"#);
        let more = [plant.as_str(), r#"{"action": "run", "speed": "full"}"#];
        let more = more.map(|a| from_json(a).unwrap_or_else(|e| panic!("{a}: {e}")));
        let session = whole.replayed(whole.actions().iter().cloned().chain(more));
        let session = session.expect("it replays");
        let events = &session.state().last_run().expect("a run").events;
        let crashed = |e: &Event| matches!(e.what, EventKind::Crash { .. });
        assert!(events.iter().any(crashed), "{fault}: {events:?}");
        let review = coach::review(&session);
        assert!(review.findings.is_empty(), "{fault}: {:?}", review.findings);
    }
}

/// A page that has to answer in between gets the same review, one finding at a time.
/// Does all pieces: the result, and how many they were.
fn in_pieces<T>(mut pieces: coach::Pieces<T>) -> (T, usize) {
    let mut count = 1;
    loop {
        match pieces.go_on() {
            Some(result) => {
                assert!(pieces.go_on().is_none(), "nothing is left to do");
                return (result, count);
            }
            None => count += 1,
        }
    }
}

#[test]
fn a_review_in_pieces_is_the_same_review() {
    for name in [AS_IT_SHOULD_BE, HOME_RIDES_ALONG, REFERENCE_RETAKEN] {
        let session = session(name);
        let at_once = coach::review(&session);
        let (review, count) = in_pieces(coach::review_in_pieces(session.clone()));
        assert_eq!(review, at_once, "{name}");
        // Each rule, and each run that a cost comes from, is a piece of its own.
        let least = coach::RULES.len() + 2 * at_once.findings.len();
        assert!(count > least, "{name}: {count} pieces, expected more than {least}");
        let (marks, count) = in_pieces(coach::check_routine_in_pieces(session.state().clone()));
        assert_eq!(marks, coach::check_routine(session.state()), "{name}");
        assert!(count > 10, "{name}: {count} pieces");
    }
}

/// While the main job is taught step by step, the coach keeps quiet: what could still come is not
/// missed yet.
#[test]
fn nothing_is_said_while_a_correct_routine_is_being_built() {
    let whole = session(AS_IT_SHOULD_BE);
    for n in 0..=whole.actions().len() {
        let state = whole.state_before(n).expect("a state");
        let found = coach::check_routine(&state);
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
    let whole = session(AS_IT_SHOULD_BE);
    let with = |name: &str, extra: &str| {
        let action = from_json(extra).unwrap_or_else(|e| panic!("{name}: {e}"));
        let actions = whole.actions().iter().cloned().chain([action]);
        coach::review(&whole.replayed(actions).expect("it replays")).score
    };
    let hint = with("hint", r#"{"action": "hint", "rule": "no-arrival", "hint_level": 3}"#);
    let mend = with("mended", r#"{"action": "mended", "rule": "no-arrival"}"#);
    assert!(hint.total < 100, "a hint costs: {hint:?}");
    assert!(mend.total < hint.total, "a mend costs more: {mend:?}");
}

/// The start of the case files, with other steps put in before a step, and the whole job done.
fn variant(edit: impl Fn(&mut nudgeproof::routine::Routine)) -> Session {
    use nudgeproof::routine::{ProbePlan, RunSpeed};
    use nudgeproof::session::Action;
    let start = session("coach/start.json");
    let mut routine = (*start.state().routine).clone();
    edit(&mut routine);
    let plans = routine.plans.clone();
    let off =
        plans.iter().map(|p| Action::SetPlan { plan: ProbePlan { reference: false, ..p.clone() } });
    let run = || Action::Run { speed: RunSpeed::Reduced, arc: false, steps: None };
    let part =
        nudgeproof::geometry::PoseFile { dx: 4.0, dy: -3.0, turn_deg: 1.5, ..Default::default() };
    let mut actions = vec![Action::LoadRoutine { routine }, run()];
    actions.extend(off);
    actions.extend([run(), Action::PlacePart { part }, run()]);
    start.replayed(actions).expect("it replays")
}

/// A second plan that refines the first on purpose, inside its follow block, is good practice.
#[test]
fn a_second_plan_may_refine_the_first() {
    use nudgeproof::geometry::{Point3, Vector3};
    use nudgeproof::locate::Freedoms;
    use nudgeproof::routine::{
        Corner, Instruction, PathKind as Way, ProbePlan, Step, StepId, TaughtPoint,
    };
    let session = variant(|r| {
        let point =
            |name: &str, x, y, z| TaughtPoint { name: name.into(), at: Point3::new(x, y, z) };
        r.points.push(point("rail-1", 220.0, 148.0, 16.0));
        r.points.push(point("over", 220.0, 100.0, 80.0));
        let fine =
            ProbePlan { freedoms: Freedoms::Y, reference: true, ..ProbePlan::new("fine", "B") };
        r.plans.push(fine);
        let go = |to: &str| Instruction::Move {
            to: to.into(),
            path: Way::Joint,
            corner: Corner::FullStop,
        };
        let probe = Instruction::Probe {
            from: "rail-1".into(),
            direction: Vector3::y(),
            face: "rail".into(),
        };
        let more = [
            Instruction::BeginProbing { plan: "fine".into() },
            go("over"),
            go("rail-1"),
            probe,
            Instruction::FinishProbing,
            go("over"),
        ];
        let follow = r
            .steps
            .iter()
            .position(|s| s.instruction == Instruction::Follow { offset: "A".into() });
        let at = follow.expect("follow") + 1;
        let steps = more
            .into_iter()
            .enumerate()
            .map(|(i, act)| Step { id: StepId(100 + i as u32), instruction: act });
        r.steps.splice(at..at, steps);
    });
    let runs = &session.state().runs;
    assert!(
        runs.iter().all(|r| r.finished()),
        "{:?}",
        runs.iter().map(|r| r.events.last()).collect::<Vec<_>>()
    );
    let review = coach::review(&session);
    assert!(review.findings.is_empty(), "{:?}", review.findings);
}

/// Points on the way, also inside the blocks, change nothing.
#[test]
fn way_points_may_stand_anywhere_clear() {
    use nudgeproof::geometry::Point3;
    use nudgeproof::routine::{Corner, Instruction, PathKind as Way, Step, StepId, TaughtPoint};
    // Before the first arrival, between the faces, before the approach, after the retreat, before home.
    for (n, before) in [2, 7, 14, 18, 19].into_iter().enumerate() {
        let session = variant(|r| {
            let at = match before {
                14 => Point3::new(60.0, 100.0, 90.0),
                18 => Point3::new(300.0, 60.0, 120.0),
                _ => Point3::new(-60.0, -60.0, 110.0),
            };
            r.points.push(TaughtPoint { name: "way".into(), at });
            let act = Instruction::Move {
                to: "way".into(),
                path: Way::Joint,
                corner: Corner::Blend(8.0),
            };
            r.steps.insert(before, Step { id: StepId(200 + n as u32), instruction: act });
        });
        let review = coach::review(&session);
        assert!(review.findings.is_empty(), "before step {}: {:?}", before + 1, review.findings);
        assert_eq!(review.score.total, 100, "before step {}: {:?}", before + 1, review.score);
    }
}
