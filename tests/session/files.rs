//! Session files: what is refused, and how the message names the place.

use nudgeproof::geometry::Point3;
use nudgeproof::session::{Action, Header, Session};

/// A session file on the part `bench-side` with these actions.
fn file(actions: &str) -> String {
    format!(
        r#"{{"format": "nudgeproof-session", "format_version": 2, "part": "bench-side", "actions": [{actions}]}}"#
    )
}

#[track_caller]
fn refused(actions: &str, expected: &str) {
    let error = Session::from_json(&file(actions)).expect_err("it is refused");
    assert_eq!(error.to_string(), expected, "{actions}");
}

#[test]
fn a_place_out_of_range_is_told_with_its_limit() {
    refused(
        r#"{"action": "teach", "point": "home", "at": [0, 100001, 0]}"#,
        "action 1 (teach): a coordinate of the point is 100001.0 mm, and it must be within ±100000.0 mm",
    );
    refused(
        r#"{"action": "move_torch", "to": [-250000.5, 0, 0]}"#,
        "action 1 (move_torch): a coordinate of the torch is −250000.5 mm, and it must be within ±100000.0 mm",
    );
}

#[test]
fn an_action_that_cannot_be_read_names_its_number_its_name_and_the_key() {
    let teach = r#"{"action": "teach", "point": "home", "at": [0, 0, 100]}"#;
    for (action, says) in [
        (
            r#"{"action": "teach", "point": "home", "at": [0, "x", 0]}"#,
            "action 2 (teach): at[1]: expected a number, and found the text \"x\"",
        ),
        (
            r#"{"action": "teach", "point": "home", "at": [0, 0]}"#,
            "action 2 (teach): at: expected a list of 3, and found 2",
        ),
        (r#"{"action": "teach", "point": "home"}"#, "action 2 (teach): missing key `at`"),
        (
            r#"{"action": "abort", "now": true}"#,
            "action 2 (abort): now: unknown key `now`, expected no more keys",
        ),
        (
            r#"{"action": "hint", "rule": "no-clear-move", "hint_level": 300}"#,
            "action 2 (hint): hint_level: expected a whole number from 0 to 255, and found the number 300",
        ),
        (
            r#"{"action": "add_step", "step": {"do": "move", "to": "home", "way": "air"}}"#,
            "action 2 (add_step): step.way: expected `joint` or `linear`, and found `air`",
        ),
        (
            r#"{"action": "load_routine", "routine": {"steps": [{"id": 1, "do": "find"}]}}"#,
            "action 2 (load_routine): routine.steps[0]: missing key `may`",
        ),
        (
            r#"{"action": "plant", "fault": {"fault": "wire-bent", "bend": [1, 2, null]}}"#,
            "action 2 (plant): fault.bend[2]: expected a number, and found null",
        ),
        (r#"{"do": "move"}"#, "action 2: missing key `action`"),
        ("7", "action 2: expected an object with the key `action`, and found the number 7"),
    ] {
        refused(&format!("{teach}, {action}"), says);
    }
    let unknown = Session::from_json(&file(r#"{"action": "tech"}"#)).expect_err("it is refused");
    let says = "action 1 (tech): action: expected one of `add_step`";
    assert!(unknown.to_string().starts_with(says), "{unknown}");
}

#[test]
fn a_header_that_cannot_be_read_names_the_key() {
    let whole = file("");
    for (from, to, says) in [
        (
            "\"part\"",
            "\"seed\": -1, \"part\"",
            "top level: seed: expected a whole number from 0, and found the number -1",
        ),
        (
            "\"part\"",
            "\"pat\"",
            "top level: pat: unknown key `pat`, expected one of `format`, `format_version`, `part`, `seed`, `settings`, `lesson`, `learner`, `house_rules`, `actions`",
        ),
        (
            "\"part\"",
            "\"settings\": {\"wire_mm\": \"1\"}, \"part\"",
            "top level: settings.wire_mm: expected a number, and found the text \"1\"",
        ),
        ("[]", "{}", "top level: actions: expected a list, and found an object"),
        ("\"bench-side\"", "3", "key `part`: expected an object, and found the number 3"),
        (
            "\"bench-side\"",
            "{\"name\": 3}",
            "key `part`: name: expected text in quotes, and found the number 3",
        ),
        ("[]}", "[", "line 1, column 88: expected JSON, here `]`, and found the end of the text"),
    ] {
        let error = Session::from_json(&whole.replacen(from, to, 1)).expect_err("it is refused");
        assert_eq!(error.to_string(), says, "{from} replaced by {to}");
    }
}

#[test]
fn a_session_is_written_as_it_is_read() {
    let mut part = nudgeproof::cell::part_by_name("bin-door").expect("it comes with the trainer");
    part.seams[0].tolerance_mm += 0.1;
    let header = Header { learner: Some("A \"B\"".into()), ..Header::new(part, u64::MAX) };
    let mut session = Session::new(header).expect("it can be set up");
    session.act(Action::MoveTorch { to: Point3::new(0.1, -1e-7, 300.0) }).expect("it can");
    let text = session.to_json();
    let again = Session::from_json(&text).expect("its own file");
    assert_eq!(again.header(), session.header(), "a part of its own, in full");
    assert_eq!(again.actions(), session.actions());
    assert_eq!(again.to_json(), text);
}

/// What is saved after each action is the same whether it was written before or not.
#[test]
fn a_session_written_after_each_action_is_the_same_file_as_one_written_at_once() {
    let text = crate::support::text_of("tests/cases/sessions/as-it-should-be.json");
    let whole = Session::from_json(&text).expect("a session");
    let mut session = Session::new(whole.header().clone()).expect("an empty session");
    let mut written = session.to_json();
    for action in whole.actions() {
        session.act(action.clone()).expect("it could be done before");
        written = session.to_json();
    }
    assert_eq!(written, whole.to_json(), "the same text");
    let again = Session::from_json(&written).expect("it is a session file");
    assert_eq!(again.actions(), whole.actions(), "the same actions");
    assert!(session.undo() && session.undo(), "two actions back");
    assert_ne!(session.to_json(), written, "what was undone is not written");
    assert!(session.redo() && session.redo(), "and on again");
    assert_eq!(session.to_json(), written, "the same text again");
}
