//! The coach on whole sessions written by hand, and while a routine is still being built.

use crate::support::{AS_IT_SHOULD_BE, HOME_RIDES_ALONG, REFERENCE_RETAKEN, assert_near, session};
use nudgeproof::cell::Fault;
use nudgeproof::coach::{self, CostKnown, Review, RuleName};
use nudgeproof::geometry::{Point3, PoseFile, Vector3};
use nudgeproof::io::from_json;
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{
    Event, EventKind, Instruction, PathKind as Way, Routine, RunSpeed, Step, StepId, Stop,
    TaughtPoint,
};
use nudgeproof::session::{Action, Session, Study};

fn rules(review: &Review) -> Vec<RuleName> {
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
    assert_eq!(rules(&review), [RuleName::HomeFollowsPart], "{:?}", review.findings);
    let routine = &session.state().routine;
    let home = routine.point("home").expect("home").at;
    let goes_home = routine.steps.iter().rfind(|s| s.instruction.is_home()).expect("a move home");
    // Where the last move home ended, against where home was taught.
    let run = session.state().last_run().expect("a run");
    let leg = run.legs.iter().find(|l| l.step == goes_home.id).expect("it moves home");
    let missed = (leg.path.last().expect("an end") - home).norm();
    let mm = review.findings[0].cost.mm.expect("a cost");
    assert_near("how far home is missed", mm, missed, 1e-9);
}

#[test]
fn a_reference_retaken_on_the_moved_part_costs_the_miss_at_the_seam() {
    let session = session(REFERENCE_RETAKEN);
    let review = coach::review(&session);
    assert_eq!(rules(&review), [RuleName::ReferenceRetakenOnMovedPart], "{:?}", review.findings);
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
        r#"{"fault": "clamp-moved", "clamp": "south stop", "dx": 125, "dy": 14}"#,
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
        assert_eq!(rules(&review), [RuleName::UnexplainedMiss], "{fault}: {:?}", review.findings);
    }
}

/// In a worn contact tip the wire stands askew by itself: cutting it mends nothing.
#[test]
fn a_worn_tip_that_was_revealed_is_not_called_a_bent_wire() {
    let sound = session(AS_IT_SHOULD_BE);
    let planted = |fault| {
        let mut actions = sound.actions().to_vec();
        let last_run = actions.iter().rposition(|a| matches!(a, Action::Run { .. })).expect("runs");
        actions.insert(last_run, Action::Plant { fault });
        actions.push(Action::Reveal);
        rules(&coach::review(&sound.replayed(actions).expect("a session")))
    };
    let bent = planted(Fault::WireBent { bend: Vector3::new(1.5, 1.0, 0.0) });
    assert!(bent.contains(&RuleName::WireBentAndUsed), "{bent:?}");
    let worn = planted(Fault::TipWorn { wear_mm: 1.5 });
    assert!(!worn.contains(&RuleName::WireBentAndUsed), "{worn:?}");
}

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

/// A page that has to answer in between gets the same review, one finding at a time.
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
    let hint = with("hint", r#"{"action": "hint", "rule": "no-approach", "hint_level": 3}"#);
    let mend = with("mended", r#"{"action": "mended", "rule": "no-approach"}"#);
    assert!(hint.total < 100, "a hint costs: {hint:?}");
    assert!(mend.total < hint.total, "a mend costs more: {mend:?}");
}

/// The start of the case files, with other steps put in before a step, and the whole job done.
fn variant(edit: impl Fn(&mut Routine)) -> Session {
    let start = session("coach/start.json");
    let mut routine = (*start.state().routine).clone();
    edit(&mut routine);
    let run = || Action::Run { speed: RunSpeed::Reduced, arc: false, steps: None };
    let flag = |on| Action::SetReference { on };
    let part = PoseFile { dx: 4.0, dy: -3.0, turn_deg: 1.5, ..Default::default() };
    let load = Action::LoadRoutine { routine };
    let proved = [load, flag(true), run(), flag(false), run()];
    let moved = start.state().by_hand([Action::place_part(part)]);
    start.replayed(proved.into_iter().chain(moved).chain([run()])).expect("it replays")
}

/// Puts steps before the one at `at`, with ids from `id` on.
fn put_in(routine: &mut Routine, at: usize, id: u32, steps: impl IntoIterator<Item = Instruction>) {
    let steps = (id..).zip(steps).map(|(id, instruction)| Step { id: StepId(id), instruction });
    routine.steps.splice(at..at, steps);
}

fn point(name: &str, x: f64, y: f64, z: f64) -> TaughtPoint {
    TaughtPoint { name: name.into(), at: Point3::new(x, y, z) }
}

/// A second place that refines the first on purpose, inside its follow, is good practice.
#[test]
fn a_second_place_may_refine_the_first() {
    let session = variant(refined);
    let runs = &session.state().runs;
    assert!(
        runs.iter().all(|r| r.landed()),
        "{:?}",
        runs.iter().map(|r| r.events.last()).collect::<Vec<_>>()
    );
    let review = coach::review(&session);
    assert!(review.findings.is_empty(), "{:?}", review.findings);
}

/// Of two references one is taken again: the flag goes on in a pause between the two finds.
#[test]
fn one_of_two_references_retaken_on_the_moved_part_is_named() {
    let mut session = variant(refined);
    let steps = &session.state().routine.steps;
    let find = |s: &Step| matches!(s.instruction, Instruction::Find { .. });
    let first = steps.iter().position(find).expect("a find");
    let steps = Some(first + 1);
    let actions = [
        Action::Run { speed: RunSpeed::Reduced, arc: false, steps },
        Action::SetReference { on: true },
        Action::Resume { steps: None },
    ];
    session.act_all(actions).expect("they can be done");
    let named = rules(&coach::review(&session));
    assert_eq!(named, [RuleName::ReferenceRetakenOnMovedPart]);
}

/// Finds the rail within the follow of the part.
fn refined(r: &mut Routine) {
    r.points.push(point("rail-1", 220.0, 148.0, 16.0));
    r.points.push(point("over", 220.0, 100.0, 80.0));
    let go = |to: &str| Instruction::Move { to: to.into(), way: Way::Joint, stop: Stop::Full };
    let feel = Instruction::Feel {
        from: "rail-1".into(),
        way: Way::Joint,
        direction: Vector3::y(),
        face: "rail".into(),
    };
    let steps = [
        go("over"),
        Instruction::sensing_on(),
        feel,
        Instruction::SensingOff,
        Instruction::Find { place: "rail".into(), may: Freedoms::Y },
        go("over"),
        Instruction::Follow { place: "rail".into() },
    ];
    let follows = |s: &Step| matches!(s.instruction, Instruction::Follow { .. });
    let follow = r.steps.iter().position(follows).expect("follow");
    put_in(r, follow + 1, 100, steps);
}

/// Points on the way, also within sensing and follow, change nothing.
#[test]
fn way_points_may_stand_anywhere_clear() {
    // Before the first feel, between the faces, before the approach, after the retreat, before home.
    for (n, before) in [2, 5, 11, 15, 17].into_iter().enumerate() {
        let session = variant(|r| {
            r.points.push(match before {
                11 => point("way", 60.0, 100.0, 90.0),
                15 => point("way", 300.0, 60.0, 120.0),
                _ => point("way", -60.0, -60.0, 110.0),
            });
            let (to, way, stop) = ("way".into(), Way::Joint, Stop::Round(8.0));
            put_in(r, before, 200 + n as u32, [Instruction::Move { to, way, stop }]);
        });
        let review = coach::review(&session);
        assert!(review.findings.is_empty(), "before step {}: {:?}", before + 1, review.findings);
        assert_eq!(review.score.total, 100, "before step {}: {:?}", before + 1, review.score);
    }
}

/// A routine that leaves its place on the way home does not bend the wire: what somebody did to the wire is
/// a finding of its own.
#[test]
fn a_finding_with_another_cause_is_not_taken_for_a_consequence() {
    let mut session = variant(|r| {
        r.steps.retain(|s| !matches!(s.instruction, Instruction::StopFollowing));
    });
    let bend = Vector3::new(1.2, 0.8, 0.0);
    let actions = [
        Action::Plant { fault: Fault::WireBent { bend } },
        Action::Run { speed: RunSpeed::Reduced, arc: false, steps: None },
    ];
    session.act_all(actions).expect("they can be done");
    let review = coach::review(&session);
    let named = rules(&review);
    for rule in [RuleName::FollowNeverStopped, RuleName::WireBentAndUsed] {
        assert!(named.contains(&rule), "{rule}: {:?}", review.findings);
    }
}

fn flag(on: bool) -> Action {
    Action::SetReference { on }
}

fn run(arc: bool) -> Action {
    Action::Run { speed: RunSpeed::Reduced, arc, steps: None }
}

/// The main job up to its first run, then these actions; the part is put by hand.
fn job(edit: impl Fn(&mut Vec<Action>)) -> Session {
    let whole = session(AS_IT_SHOULD_BE);
    let mut actions = whole.actions().to_vec();
    let flag_on = actions.iter().position(|a| matches!(a, Action::SetReference { .. }));
    actions.truncate(flag_on.expect("a reference run"));
    edit(&mut actions);
    whole.replayed(actions).expect("a session")
}

fn nudge(session: &Session, dx: f64, dy: f64, turn_deg: f64) -> Vec<Action> {
    let part = PoseFile { dx, dy, turn_deg, ..Default::default() };
    session.state().by_hand([Action::place_part(part)])
}

/// Reference, proof, a nudge, a dry run; then the reference again on the moved part, and a weld.
fn retaken(start: Session) -> Session {
    let mut s = start;
    s.act_all([flag(true), run(false), flag(false), run(false)]).expect("a proof");
    s.act_all(nudge(&s, 4.0, -3.0, 0.8)).expect("a nudge");
    let again = [run(false), flag(true), run(false), flag(false), run(true)];
    s.act_all(again).expect("they can be done");
    s
}

/// The mend puts the part back and the flag on. With the arc still on, the next run is a reference run that
/// welds, but not on a moved part; and once all is done again, nothing is left of it.
#[test]
fn a_reference_run_with_the_arc_on_is_forgotten_once_it_is_made_again() {
    let mut s = retaken(job(|_| {}));
    let review = coach::review(&s);
    let retaken = &review.findings[0];
    assert_eq!(retaken.rule, RuleName::ReferenceRetakenOnMovedPart, "{:?}", review.findings);
    s.act_all(coach::mend(&s, retaken).expect("a mend")).expect("it can be done");
    s.act(run(true)).expect("a run");
    assert_eq!(rules(&coach::review(&s)), [RuleName::ArcInTrial]);
    s.act_all([run(false), flag(false), run(false)]).expect("a proof");
    s.act_all(nudge(&s, 4.0, -3.0, 0.8)).expect("a nudge");
    s.act_all([run(false), run(true)]).expect("they can be done");
    let review = coach::review(&s);
    assert!(review.findings.is_empty(), "{:?}", review.findings);
    assert_eq!(review.score.total, 100, "{:?}", review.score);
}

/// A run that missed is explained by what stands above it, also once its routine was mended.
#[test]
fn a_miss_of_a_routine_that_was_mended_since_is_not_called_unexplained() {
    let mut s = retaken(job(|actions| {
        for action in actions {
            let Action::AddStep { step, .. } = action else { continue };
            match step {
                Instruction::SensingOn { speed_mm_s, .. } => *speed_mm_s = 80.0,
                Instruction::Find { may, .. } => *may = Freedoms::X | Freedoms::Y,
                _ => {}
            }
        }
    }));
    for rule in [RuleName::FeelTooFast, RuleName::FreedomsTooFew] {
        let review = coach::review(&s);
        let finding = review.findings.iter().find(|f| f.rule == rule);
        let finding = finding.unwrap_or_else(|| panic!("{rule}: {:?}", review.findings));
        s.act_all(coach::mend(&s, finding).expect("a mend")).expect("it can be done");
    }
    let named = rules(&coach::review(&s));
    assert!(named.contains(&RuleName::ReferenceRetakenOnMovedPart), "{named:?}");
    assert!(!named.contains(&RuleName::UnexplainedMiss), "{named:?}");
}

/// What no run has come to yet is not told as if it had happened; the weld of a dry run neither.
#[test]
fn what_has_not_happened_is_not_told_as_if_it_had() {
    let never_stops =
        |s: &Action| matches!(s, Action::AddStep { step: Instruction::StopFollowing, .. });
    let mut s = job(|actions| actions.retain(|a| !never_stops(a)));
    s.act_all([flag(true), run(false)]).expect("a reference");
    let of = |s: &Session| {
        let review = coach::review(s);
        let f = review.findings.iter().find(|f| f.rule == RuleName::FollowNeverStopped);
        f.unwrap_or_else(|| panic!("{:?}", review.findings)).cost.known
    };
    assert_eq!(of(&s), CostKnown::Rehearsed);
    s.act_all([flag(false), run(false)]).expect("a proof");
    s.act_all(nudge(&s, 4.0, -3.0, 0.8)).expect("a nudge");
    s.act(run(false)).expect("a dry run");
    assert_eq!(of(&s), CostKnown::Happened);
    let weld = coach::review(&s).score.weld;
    assert!(weld.reason.to_string().contains("Nothing was welded"), "{weld:?}");
}

/// The program makes the run of a part of a study that is watched, not the learner.
#[test]
fn a_part_of_a_study_that_is_watched_needs_no_proof() {
    let mut s = job(|_| {});
    s.act_all([flag(true), run(false), flag(false)]).expect("a reference");
    let study = Study::new(s.state(), 5).expect("a study");
    s.act_all(study.actions_of(3)).expect("a part to watch");
    let review = coach::review(&s);
    assert!(review.findings.is_empty(), "{:?}", review.findings);
}
