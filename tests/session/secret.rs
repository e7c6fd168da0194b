//! What an instructor does in secret: a replay knows it, what may be shown does not tell it.

use crate::support;
use nudgeproof::cell::{Fault, part_by_name};
use nudgeproof::geometry::{Pose, PoseFile, Vector3};
use nudgeproof::routine::{EventKind, RunSpeed};
use nudgeproof::session::{Action, Header, Session, Told};
use std::collections::BTreeMap;

fn slid(dx: f64, dy: f64) -> PoseFile {
    PoseFile { dx, dy, ..PoseFile::default() }
}

fn session() -> Session {
    let part = part_by_name("bench-side").expect("it comes with the program");
    Session::new(Header::new(part, 7)).expect("a session")
}

#[track_caller]
fn act(session: &mut Session, action: Action) {
    if let Err(why) = session.act(action) {
        panic!("it can be done, but: {why}");
    }
}

#[test]
fn a_secret_move_is_shown_only_when_revealed() {
    let mut s = session();
    let there = slid(4.0, -3.0);
    act(&mut s, Action::place_part(there));
    act(&mut s, Action::Conceal { part: PoseFile::default() });
    assert_eq!(s.state().part_shown(), Pose::identity(), "shown where it was");
    assert_eq!(s.state().work_from_part, Pose::from(there), "and it lies where it was put");
    act(
        &mut s,
        Action::Run { speed: nudgeproof::routine::RunSpeed::Full, arc: false, steps: None },
    );
    assert_eq!(s.state().run_contexts[0].believed, Some(Pose::identity()), "the run keeps it too");
    act(&mut s, Action::Reveal);
    assert_eq!(s.state().part_shown(), Pose::from(there), "revealed");
    assert_eq!(s.state().run_contexts[0].believed, None, "of the runs before as well");
    assert!(s.undo(), "and undone");
    assert!(s.state().concealed(), "it is a secret again");
}

#[test]
fn a_planted_bend_is_not_drawn_but_one_from_a_crash_is() {
    let mut s = session();
    let bend = Vector3::new(1.5, 1.0, 0.0);
    act(&mut s, Action::Plant { fault: Fault::WireBent { bend } });
    act(&mut s, Action::Conceal { part: PoseFile::default() });
    assert_eq!(s.state().wire.bend, bend, "it is there");
    assert_eq!(s.state().wire_shown().bend, Vector3::zeros(), "and hidden");
    act(&mut s, Action::CutWire { stick_out_mm: 15.0 });
    act(&mut s, Action::ClearFaults);
    assert!(!s.state().concealed(), "nothing is left to keep secret");
}

#[test]
fn another_part_is_drawn_once_it_is_revealed() {
    let mut s = session();
    act(&mut s, Action::Plant { fault: Fault::WrongPart { part: "bench-side-short".into() } });
    act(&mut s, Action::Conceal { part: PoseFile::default() });
    assert_eq!(s.state().true_part_shown().bodies, s.state().part.bodies, "as it was drawn");
    act(&mut s, Action::Reveal);
    assert_ne!(s.state().true_part_shown().bodies, s.state().part.bodies, "as it is");
}

#[test]
fn the_file_of_a_session_with_secrets_replays_to_the_same() {
    let mut s = session();
    act(&mut s, Action::place_part(slid(2.0, 1.0)));
    act(&mut s, Action::Conceal { part: PoseFile::default() });
    let again = Session::from_json(&s.to_json()).expect("it reads its own file");
    assert_eq!(again.actions(), s.actions(), "the same actions");
    assert_eq!(again.state().believed, s.state().believed, "the same secret");
    assert_eq!(again.to_json(), s.to_json(), "the same file");
}

/// A whole job, and what an instructor may do to it in secret.
fn job() -> Session {
    support::session(support::AS_IT_SHOULD_BE)
}

const RUN: Action = Action::Run { speed: RunSpeed::Full, arc: false, steps: None };

fn told(session: &Session) -> Told {
    Told::of(session, None).expect("something is kept secret")
}

#[test]
fn what_is_told_of_a_secret_is_the_session_without_it() {
    let open = job();
    let mut s = job();
    act(&mut s, Action::PlantInSecret { fault: Fault::WorkLeadOff });
    act(&mut s, Action::MoveInSecret { part: slid(9.0, 9.0), bodies: BTreeMap::new() });
    let (told, truth) = (told(&s), s.state());
    assert_eq!(truth.work_from_part, Pose::from(slid(9.0, 9.0)), "it lies there");
    assert_eq!(told.session().actions(), open.actions(), "and nothing was done");
    let (shown, open) = (told.session().state(), open.state());
    assert_eq!(shown.work_from_part, open.work_from_part, "where it lay");
    assert_eq!(shown.faults, open.faults, "no fault");
    assert_eq!(shown.runs, open.runs, "the same runs");
    assert_eq!(shown.live_entries, open.live_entries, "no hands in the cell");
    act(&mut s, Action::Reveal);
    assert!(Told::of(&s, None).is_none(), "all of it may be told");
}

#[test]
fn a_run_is_told_as_it_was_seen() {
    let mut s = job();
    act(&mut s, Action::MoveInSecret { part: slid(9.0, 9.0), bodies: BTreeMap::new() });
    act(&mut s, Action::SetReference { on: false });
    act(&mut s, RUN);
    let (told, mut open) = (told(&s), job());
    act(&mut open, Action::SetReference { on: false });
    act(&mut open, RUN);
    let [seen, truly, else_] =
        [told.session(), &s, &open].map(|s| s.state().last_run().expect("a run").clone());
    assert_eq!(seen.searches, truly.searches, "its touches are true");
    assert_ne!(seen.searches, else_.searches, "and others than without the move");
    assert_eq!(
        (seen.part, seen.kind),
        (else_.part, else_.kind),
        "the part where it is thought to be"
    );
    assert_eq!(told.session().state().torch, s.state().torch, "the torch where it is");
    let [seen, truly] = [told.session(), &s].map(|s| s.state().memory.offsets.clone());
    assert_eq!(seen, truly, "the offset that was found");
}

#[test]
fn going_on_telling_comes_to_the_same_as_telling_anew() {
    let mut s = job();
    act(
        &mut s,
        Action::PlantInSecret { fault: Fault::WireBent { bend: Vector3::new(1.5, 1.0, 0.0) } },
    );
    let mut before = told(&s);
    let steps = Some(6);
    for action in [
        Action::Run { speed: RunSpeed::Full, arc: false, steps },
        Action::MoveInSecret { part: slid(3.0, 1.0), bodies: BTreeMap::new() },
        Action::Resume { steps: None },
        RUN,
    ] {
        act(&mut s, action);
        let next = Told::of(&s, Some(&before)).expect("it is still a secret");
        let (a, b) = (next.session().state().clone(), told(&s).session().state().clone());
        assert_eq!((&a.runs, &a.memory, a.wire), (&b.runs, &b.memory, b.wire), "the same");
        before = next;
    }
    let runs = &before.session().state().runs;
    for log in [&runs[runs.len() - 2], &runs[runs.len() - 1]] {
        let moved = log.events.iter().any(|e| matches!(e.what, EventKind::PartMoved));
        assert!(!moved, "run {}: nothing of the move in its pause", log.number);
        assert_eq!(log.wire[0].1.bend, Vector3::zeros(), "run {}: nor of the bend", log.number);
    }
}

#[test]
fn what_is_known_is_told_on_while_something_else_is_a_secret() {
    let mut s = job();
    let bent = Fault::WireBent { bend: Vector3::new(1.5, 1.0, 0.0) };
    act(&mut s, Action::PlantInSecret { fault: bent.clone() });
    act(&mut s, Action::Reveal);
    act(&mut s, Action::PlantInSecret { fault: Fault::WorkLeadOff });
    let told = told(&s);
    assert_eq!(*told.session().state().faults, [bent], "one is known, one is not");
    assert_eq!(s.state().faults.len(), 2, "both are there");
}

#[test]
fn undo_takes_back_what_was_done_in_the_open_and_leaves_what_is_secret() {
    let mut s = job();
    let before = s.state().routine.clone();
    let id = before.steps[3].id;
    act(&mut s, Action::DeleteStep { id });
    let after = s.state().routine.clone();
    assert!(s.undo(), "undone");
    // Planting leaves what can be redone.
    act(&mut s, Action::PlantInSecret { fault: Fault::WorkLeadOff });
    assert!(s.can_redo() && s.redo(), "redone");
    assert_eq!(s.state().routine, after, "without the step");
    act(&mut s, Action::PlantInSecret { fault: Fault::SpatterBridge });
    assert!(s.undo(), "undone, under the second secret");
    assert_eq!(s.state().routine, before, "the step is back");
    assert_eq!(s.state().faults.len(), 2, "both secrets are kept");
    assert!(s.redo(), "and again");
    assert_eq!((&s.state().routine, s.state().faults.len()), (&after, 2), "as before");
    let again = Session::from_json(&s.to_json()).expect("it reads its own file");
    assert_eq!(again.state().faults, s.state().faults, "the file holds what was done");
    assert_eq!(again.state().routine, after, "in an order that gives the same");
}

#[test]
fn a_secret_alone_is_nothing_to_take_back() {
    let mut s = session();
    act(&mut s, Action::PlantInSecret { fault: Fault::WorkLeadOff });
    assert!(!s.can_undo() && !s.undo(), "nothing that anyone saw");
    assert_eq!(s.state().faults.len(), 1, "it is still there");
    act(&mut s, Action::ClearInSecret { fault: "work-lead-off".into() });
    assert!(
        s.state().faults.is_empty() && s.state().live_entries.is_empty(),
        "gone, and nobody came"
    );
}

#[test]
fn a_file_does_not_say_in_so_many_words_what_was_done_in_secret() {
    let mut s = job();
    act(&mut s, Action::PlantInSecret { fault: Fault::WorkLeadOff });
    act(&mut s, Action::MoveInSecret { part: slid(9.0, 9.0), bodies: BTreeMap::new() });
    act(&mut s, Action::ClearInSecret { fault: "work-lead-off".into() });
    let text = s.to_json();
    for word in ["work-lead-off", "in_secret", "plant", "fault"] {
        assert!(!text.contains(word), "{word} stands in it");
    }
    let again = Session::from_json(&text).expect("it reads its own file");
    assert_eq!(again.actions(), s.actions(), "the same");
    let broken = text.replacen("\"of\": \"", "\"of\": \"!", 1);
    let why = Session::from_json(&broken).expect_err("no base64").to_string();
    assert!(why.contains("(sealed): of: expected an action in base64"), "{why}");
}
