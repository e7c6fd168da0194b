//! Undo, redo and gestures, and what a long session costs.

use nudgeproof::cell::{Fault, part_by_name};
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::routine::{Instruction, RunSpeed};
use nudgeproof::session::{Action, Header, Session};
use std::sync::Arc;

fn session() -> Session {
    let part = part_by_name("bench-side").expect("it comes with the program");
    Session::new(Header::new(part, 7)).expect("a session")
}

fn teach(point: &str, x: f64) -> Action {
    Action::Teach { point: point.into(), at: Point3::new(x, 0.0, 50.0) }
}

fn wrong() -> Action {
    Action::DeletePoint { point: "never taught".into() }
}

fn act(session: &mut Session, action: Action) {
    if let Err(why) = session.act(action) {
        panic!("it can be done, but: {why}");
    }
}

#[test]
fn a_gesture_is_taken_back_and_done_again_as_one() {
    let mut s = session();
    act(&mut s, teach("a", 1.0));
    s.act_all([teach("b", 2.0), teach("c", 3.0)]).expect("both can be done");
    assert_eq!(s.actions().len(), 3, "each action stands by itself in the file");
    assert!(s.undo(), "the gesture");
    assert_eq!(s.actions().len(), 1, "both are taken back");
    assert!(s.redo(), "the gesture again");
    assert_eq!(s.state().routine.points.len(), 3, "both are done again");
    assert!(s.undo() && s.undo() && !s.undo(), "then the first, then there is none");
    assert!(s.redo() && s.redo() && !s.redo(), "and all of it again");
}

#[test]
fn a_gesture_that_fails_half_way_changes_nothing() {
    let mut s = session();
    act(&mut s, teach("a", 1.0));
    s.act_all([teach("b", 2.0), teach("c", 3.0)]).expect("both can be done");
    assert!(s.undo(), "the gesture can be taken back");
    let (state, text) = (s.state().clone(), s.to_json());
    assert!(s.act_all([teach("d", 4.0), teach("e", 5.0), wrong()]).is_err(), "the last one fails");
    assert!(Arc::ptr_eq(&state, s.state()), "the state is the same one");
    assert_eq!(s.to_json(), text, "and so is the file");
    assert!(s.redo(), "what was undone before can still be redone");
    let names: Vec<_> = s.state().routine.points.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["a", "b", "c"], "and nothing of the gesture that failed comes with it");
    assert!(!s.redo(), "nor after it");
}

#[test]
fn a_gesture_of_no_actions_is_none() {
    let mut s = session();
    act(&mut s, teach("a", 1.0));
    assert!(s.undo(), "one action");
    s.act_all([]).expect("nothing can always be done");
    assert!(s.can_redo(), "what was undone can still be redone");
}

/// States further back than are stored are found by replay.
#[test]
fn a_long_session_can_be_undone_to_its_start_and_redone() {
    let mut s = session();
    let mut states = vec![s.state().clone()];
    for n in 0..700 {
        let action = match n % 50 {
            7 => Action::Run { speed: RunSpeed::Full, arc: false, steps: None },
            8 => Action::Hint { rule: "no-home-start".into(), hint_level: 1 },
            9 => Action::AddStep { at: Some(0), step: Instruction::SensingOff },
            _ => teach(&format!("p{}", n % 30), f64::from(n)),
        };
        act(&mut s, action);
        states.push(s.state().clone());
    }
    let same = |s: &Session, n: usize| {
        let (now, then) = (s.state(), &states[n]);
        assert_eq!(now.routine, then.routine, "routine after {n} actions");
        assert_eq!(now.runs, then.runs, "runs after {n} actions");
        assert_eq!(now.torch, then.torch, "torch after {n} actions");
    };
    for n in (0..700).rev() {
        assert!(s.undo(), "action {n}");
        same(&s, n);
    }
    for n in 1..=700 {
        assert!(s.redo(), "action {n}");
        same(&s, n);
    }
    for (n, state) in s.states(3).enumerate() {
        assert_eq!(state.torch, states[n + 3].torch, "state before action {}", n + 3);
    }
    assert_eq!(s.states(3).count(), 698, "up to the present one");
    for n in [0, 1, 127, 128, 129, 500, 699, 700] {
        assert_eq!(s.state_before(n).map(|s| s.torch), Some(states[n].torch), "before {n}");
    }
    assert!(s.state_before(701).is_none(), "there is no such action");
}

#[test]
fn a_moment_is_the_same_only_with_the_same_past() {
    let mut s = session();
    act(&mut s, teach("a", 1.0));
    act(&mut s, teach("b", 2.0));
    let (start, one, two) = (s.moment(0), s.moment(1), s.moment(2));
    assert!(start.is_some() && one.is_some() && two.is_some(), "three moments");
    assert!(s.moment(3).is_none(), "and no more");
    assert!(s.undo() && s.redo(), "back and forth");
    assert_eq!(s.moment(2).as_ref(), two.as_ref(), "redone is the same");
    assert!(s.undo(), "back");
    act(&mut s, teach("b", 2.0));
    assert_eq!(s.moment(1).as_ref(), one.as_ref(), "before, nothing changed");
    assert_ne!(s.moment(2).as_ref(), two.as_ref(), "done anew is another");
    let mut other = s.clone();
    assert_eq!(other.moment(2), s.moment(2), "a copy has the same past");
    act(&mut other, teach("c", 3.0));
    act(&mut s, teach("c", 3.0));
    assert_ne!(other.moment(3), s.moment(3), "but goes its own way");
    assert_ne!(session().moment(0), start, "so does another session from its start");
}

/// Clearing a fault undoes what it did, whether it is cleared alone or with all others.
#[test]
fn clearing_a_fault_undoes_its_effect() {
    let bend = Vector3::new(1.5, 1.0, 0.0);
    let clear = |name: &str| Action::ClearFault { fault: name.into() };
    for clears in [vec![Action::ClearFaults], vec![clear("wire-bent"), clear("stick-out-changed")]]
    {
        let mut s = session();
        act(&mut s, Action::Plant { fault: Fault::WireBent { bend } });
        act(&mut s, Action::Plant { fault: Fault::StickOutChanged { stick_out_mm: 18.0 } });
        assert_eq!((s.state().wire.bend, s.state().wire.stick_out_mm), (bend, 18.0), "planted");
        for action in clears {
            act(&mut s, action);
        }
        let straight = (Vector3::zeros(), s.header().settings.stick_out_mm);
        assert_eq!((s.state().wire.bend, s.state().wire.stick_out_mm), straight, "as it was");
        assert!(s.state().faults.is_empty(), "none is left");
    }
}

/// Where there is no such fault nothing changes.
#[test]
fn clearing_a_fault_that_is_not_there_leaves_the_wire_alone() {
    let mut s = session();
    act(&mut s, Action::CutWire { stick_out_mm: 18.0 });
    for action in [Action::ClearFaults, Action::ClearFault { fault: "stick-out-changed".into() }] {
        act(&mut s, action);
        assert_eq!(s.state().wire.stick_out_mm, 18.0, "cut by hand, and nobody planted that");
    }
}
