//! What an instructor does in secret: a replay knows it, what may be shown does not tell it.

use nudgeproof::cell::{Fault, part_by_name};
use nudgeproof::geometry::{Pose, PoseFile, Vector3};
use nudgeproof::session::{Action, Header, Session};

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
