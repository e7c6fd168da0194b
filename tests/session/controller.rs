//! What belongs to the controller and not to a step: the reference flag, places kept from run to run,
//! the name of a run, the cell locked out.

use crate::support::{AS_IT_SHOULD_BE, assert_near, session};
use nudgeproof::cell::Fault;
use nudgeproof::geometry::{Pose, PoseFile};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{
    EventKind, Instruction, PART_PLACE, PathKind, RunKind, RunLog, RunSpeed, SearchOutcome, StepId,
    Stop, WeldTrace,
};
use nudgeproof::session::{Action, CellState, Session};

#[track_caller]
fn act(session: &mut Session, action: Action) {
    if let Err(why) = session.act(action) {
        panic!("it can be done, but: {why}");
    }
}

/// The session as it should be, up to and without its first run.
fn taught() -> Session {
    let whole = session(AS_IT_SHOULD_BE);
    let until = whole.actions().iter().position(|a| matches!(a, Action::SetReference { .. }));
    let actions = whole.actions()[..until.expect("the flag is turned on")].to_vec();
    whole.replayed(actions).unwrap_or_else(|(n, e)| panic!("action {n}: {e}"))
}

fn flag(on: bool) -> Action {
    Action::SetReference { on }
}

fn run(arc: bool, steps: Option<usize>) -> Action {
    Action::Run { speed: RunSpeed::Full, arc, steps }
}

fn nudged() -> Action {
    Action::place_part(PoseFile { dx: 4.0, dy: -3.0, ..PoseFile::default() })
}

fn last(session: &Session) -> &RunLog {
    session.state().last_run().expect("a run")
}

/// Place of the find among the steps of the session as it should be.
const FIND: usize = 9;

#[test]
fn the_flag_is_off_when_a_session_begins_and_keeps_from_run_to_run() {
    let mut s = taught();
    assert!(!s.state().memory.reference_flag, "off at first");
    act(&mut s, run(false, None));
    let stopped = last(&s).events.iter().any(|e| {
        matches!(&e.what, EventKind::PlaceNotFound { why, .. } if why.to_string().contains("no reference"))
    });
    assert!(stopped, "there is nothing to compare with: {:?}", last(&s).events.last());
    act(&mut s, flag(true));
    for _ in 0..2 {
        act(&mut s, run(false, None));
        assert_eq!(last(&s).kind, RunKind::Reference, "still on");
    }
    let references = &s.state().memory.references;
    assert_eq!(references[PART_PLACE].run, 3, "the latest counts");
}

#[test]
fn what_counts_is_how_the_flag_stands_at_the_find() {
    let mut s = taught();
    act(&mut s, flag(true));
    act(&mut s, run(false, None));
    act(&mut s, nudged());
    // Begun as a comparison; turned back on in a pause before the find.
    act(&mut s, flag(false));
    act(&mut s, run(false, Some(FIND)));
    assert_eq!(last(&s).kind, RunKind::Dry, "as far as its operator knows");
    act(&mut s, flag(true));
    act(&mut s, Action::Resume { steps: None });
    assert_eq!(last(&s).kind, RunKind::Reference, "it has learned");
    let overwrote = |e: &EventKind| matches!(e, EventKind::ReferenceStored { overwrote: true, .. });
    assert!(last(&s).events.iter().any(|e| overwrote(&e.what)), "over the good one");
    // And the other way round.
    act(&mut s, run(false, Some(FIND)));
    act(&mut s, flag(false));
    act(&mut s, Action::Resume { steps: None });
    assert_eq!(last(&s).kind, RunKind::Proof, "the part lies where the reference was taken");
}

#[test]
fn a_run_is_named_for_what_its_operator_knows() {
    let mut s = taught();
    act(&mut s, flag(true));
    act(&mut s, run(false, None));
    act(&mut s, flag(false));
    act(&mut s, run(false, None));
    assert_eq!(last(&s).kind, RunKind::Proof, "not moved");
    // An instructor moves it in secret.
    act(&mut s, nudged());
    act(&mut s, Action::Conceal { part: PoseFile::default() });
    act(&mut s, run(false, None));
    assert_eq!(last(&s).kind, RunKind::Proof, "nobody else knows");
    act(&mut s, Action::Reveal);
    act(&mut s, run(false, None));
    assert_eq!(last(&s).kind, RunKind::Dry, "without arc on a moved part");
    act(&mut s, run(true, None));
    assert_eq!(last(&s).kind, RunKind::Production, "with the arc on");
}

#[test]
fn a_place_keeps_its_offset_until_it_is_found_again() {
    let mut s = taught();
    // Follow stands before the find: it rides on the last part's offset.
    let steps = &s.state().routine.steps;
    let follow = steps.iter().find(|s| matches!(s.instruction, Instruction::Follow { .. }));
    let id = follow.expect("it follows").id;
    act(&mut s, flag(true));
    act(&mut s, run(false, None));
    act(&mut s, flag(false));
    act(&mut s, nudged());
    act(&mut s, run(false, None));
    let before = s.state().memory.offsets[PART_PLACE];
    assert!(before.translation().norm() > 4.0, "the first part's");
    act(&mut s, Action::place_part(PoseFile::default()));
    act(&mut s, Action::MoveStep { id, to: 1 });
    act(&mut s, run(false, Some(4)));
    let carried = last(&s).legs.last().expect("it has moved");
    assert_eq!(carried.follows.as_deref(), Some(PART_PLACE), "carried along");
    let step = s.state().routine.index_of(carried.step).expect("a step");
    let point = s.state().routine.steps[step].instruction.point().expect("a feel");
    let taught = s.state().routine.point(point).expect("taught").at;
    let start = last(&s).legs.iter().find(|l| l.step == carried.step).expect("the way there");
    let there = *start.path.last().expect("an end");
    assert_near("by the last part's offset", there, before.point(&taught), 1e-9);
}

#[test]
fn a_find_uses_the_touches_since_the_find_before() {
    let mut s = taught();
    let find = || Instruction::Find { place: "again".into(), may: Freedoms::PLAN };
    act(&mut s, Action::AddStep { at: Some(FIND + 1), step: find() });
    act(&mut s, flag(true));
    act(&mut s, run(false, None));
    let why = last(&s).events.iter().find_map(|e| match &e.what {
        EventKind::PlaceNotFound { place, why } => Some((place.clone(), why.to_string())),
        _ => None,
    });
    let expected = ("again".to_owned(), "no touch has been felt since the last find".to_owned());
    assert_eq!(why, Some(expected), "they are used up");
    assert!(last(&s).welds.is_empty(), "and the run stops there");
}

#[test]
fn locked_out_nothing_runs_and_the_wire_carries_no_voltage() {
    let mut s = taught();
    act(&mut s, flag(true));
    act(&mut s, run(false, Some(3)));
    assert!(s.state().sensing, "after sensing on");
    act(&mut s, Action::SetCell { state: CellState::LockedOut });
    assert!(!s.state().sensing, "locking out takes it off");
    for refused in [run(false, None), Action::Resume { steps: None }] {
        let why = s.act(refused).expect_err("it may not run").to_string();
        assert_eq!(why, "the cell is locked out: make it ready first");
    }
    assert!(s.state().paused.is_some(), "nothing is paused away");
    act(&mut s, Action::SetCell { state: CellState::Ready });
    act(&mut s, Action::Resume { steps: None });
    // The voltage does not come back by itself: the next search presses the wire on the face.
    let search = last(&s).searches.last().expect("a search");
    assert!(matches!(search.outcome, SearchOutcome::NotFelt { .. }), "{search:?}");
    assert!(s.state().wire.bend.norm() > 1.0, "and bends it");
    assert!(!last(&s).finished(), "the run stops there");
}

#[test]
fn between_weld_start_and_weld_end_stand_weld_through_steps_alone() {
    let mut s = taught();
    let steps = &s.state().routine.steps;
    let end = steps.iter().position(|s| matches!(s.instruction, Instruction::WeldEnd { .. }));
    let end = end.expect("it welds");
    let at = nudgeproof::geometry::Point3::new(200.0, 160.0, 12.0);
    act(&mut s, Action::Teach { point: "middle".into(), at });
    let through = Instruction::WeldThrough { to: "middle".into() };
    act(&mut s, Action::AddStep { at: Some(end), step: through });
    act(&mut s, flag(true));
    act(&mut s, run(false, None));
    let welds = &last(&s).welds;
    assert_eq!(welds.len(), 2, "one trace a stretch");
    assert!(last(&s).landed(), "both on the seam: {welds:?}");
    assert_eq!(welds[0].wire[1], welds[1].wire[0], "one after the other");
    act(&mut s, Action::AddStep { at: Some(end), step: Instruction::SensingOff });
    act(&mut s, run(false, None));
    let Some(EventKind::CannotDo { why }) = last(&s).events.last().map(|e| &e.what) else {
        panic!("anything else stops the run: {:?}", last(&s).events.last())
    };
    let expected = "only weld-through steps may stand between a weld start and its weld end";
    assert_eq!(why.to_string(), expected);
}

#[test]
fn the_way_to_the_wire_cutter_is_a_move_like_any_other() {
    let mut s = taught();
    act(&mut s, flag(true));
    act(&mut s, run(false, None));
    let trim = s.state().routine.steps.iter().find(|s| s.instruction == Instruction::TrimWire);
    let id = trim.expect("it trims").id;
    let leg = last(&s).legs.iter().find(|l| l.step == id).expect("it goes there");
    assert_eq!(leg.path.last(), Some(&s.state().part.cutter()), "and ends above the cutter");
    // From behind the east clamp it leads through it.
    let before = s.state().routine.index_of(id).expect("its place");
    for (place, name, z) in [(before, "beyond", 120.0), (before + 1, "low", 10.0)] {
        let at = nudgeproof::geometry::Point3::new(520.0, 125.0, z);
        act(&mut s, Action::Teach { point: name.into(), at });
        let (to, way, stop) = (name.into(), PathKind::Linear, Stop::Full);
        act(&mut s, Action::AddStep { at: Some(place), step: Instruction::Move { to, way, stop } });
    }
    act(&mut s, run(false, None));
    let hit = last(&s).events.iter().find(|e| e.step == id).expect("something happens");
    let met = matches!(hit.what, EventKind::Crash { .. } | EventKind::WireBent { .. });
    assert!(met, "on the way there: {hit:?}");
}

#[test]
fn only_a_body_that_moves_by_itself_can_be_placed_by_itself() {
    let mut s = taught();
    let part = PoseFile::default();
    let bodies = [("seat rail".to_owned(), part)].into();
    let why = s.act(Action::PlacePart { part, bodies }).expect_err("it is welded on").to_string();
    assert_eq!(why, "the part has no body named “seat rail” that moves by itself");
}

#[test]
fn files_of_version_one_are_refused_in_one_sentence() {
    let text = taught().to_json().replace("\"format_version\": 2", "\"format_version\": 1");
    let why = Session::from_json(&text).expect_err("another version").to_string();
    assert_eq!(why, "key `format_version`: expected 2, and found 1");
}

#[test]
fn points_corrected_while_following_are_stored_in_the_frame_of_the_place() {
    let mut s = taught();
    act(&mut s, flag(true));
    act(&mut s, run(false, None));
    act(&mut s, flag(false));
    act(&mut s, nudged());
    act(&mut s, run(false, Some(FIND + 3)));
    let offset: Pose = s.state().memory.offsets[PART_PLACE];
    let at = nudgeproof::geometry::Point3::new(84.0, 157.0, 12.0);
    act(&mut s, Action::Teach { point: "weld-start".into(), at });
    let stored = s.state().routine.point("weld-start").expect("taught").at;
    assert_near("as on the reference part", stored, offset.inverse().point(&at), 1e-9);
    assert_eq!(s.state().routine.steps[0].id, StepId(1), "nothing else has changed");
}

/// The session as it should be with a clamp in the way of its last weld.
fn blocked_weld() -> Session {
    let mut s = session(AS_IT_SHOULD_BE);
    let stop = Fault::ClampMoved { clamp: "south stop".into(), dx: 0.0, dy: 190.0 };
    act(&mut s, Action::Plant { fault: stop });
    act(&mut s, Action::Run { speed: RunSpeed::Reduced, arc: true, steps: None });
    s
}

#[test]
fn a_weld_that_is_stopped_on_its_way_keeps_what_was_welded() {
    let whole = session(AS_IT_SHOULD_BE);
    let sound = &last(&whole).welds[0];
    assert!(sound.whole && last(&whole).landed());

    let s = blocked_weld();
    let run = last(&s);
    let stop = run.stop().expect("it stopped");
    assert!(
        matches!(&stop.what, EventKind::Crash { body, .. } if body == "south stop"),
        "{stop:?}"
    );
    let [half] = &run.welds[..] else { panic!("one weld: {:?}", run.welds) };
    assert!(!half.whole && !run.landed(), "{half:?}");
    // It is on the seam as far as it came, and short of the other end by what is missing.
    assert!(half.landed, "{half:?}");
    let length = |w: &WeldTrace| (w.wire[1] - w.wire[0]).norm();
    let missing = 280.0 - length(half);
    assert!((100.0..250.0).contains(&missing), "{missing} mm are missing");
    assert!((half.miss[1].along_mm + missing).abs() < 2.0, "{half:?}");
    // The arc is out, and has left a ball.
    let arc = run.events.iter().rfind(|e| matches!(e.what, EventKind::ArcOn | EventKind::ArcOff));
    assert!(arc.is_some_and(|e| e.what == EventKind::ArcOff), "{:?}", run.events);
    assert!(run.wire_at(run.duration).ball, "{:?}", run.wire);
}

#[test]
fn without_arc_a_stopped_weld_leaves_no_ball() {
    let mut s = session(AS_IT_SHOULD_BE);
    let stop = Fault::ClampMoved { clamp: "south stop".into(), dx: 0.0, dy: 190.0 };
    act(&mut s, Action::Plant { fault: stop });
    act(&mut s, run(false, None));
    let run = last(&s);
    assert!(!run.welds[0].whole && !run.wire_at(run.duration).ball, "{:?}", run.welds);
    assert!(run.events.iter().all(|e| e.what != EventKind::ArcOff), "{:?}", run.events);
}
