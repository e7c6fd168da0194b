//! Session files: what is refused, and how the message names the place.

use nudgeproof::session::Session;

/// A session file on the part `bench-side` with these actions.
fn file(actions: &str) -> String {
    format!(
        r#"{{"format": "nudgeproof-session", "format_version": 1, "part": "bench-side", "actions": [{actions}]}}"#
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
        "action 1 (teach): a coordinate of the point (mm) is 100001.0, and it must be within ±100000",
    );
    refused(
        r#"{"action": "move_torch", "to": [-250000.5, 0, 0]}"#,
        "action 1 (move_torch): a coordinate of the torch (mm) is -250000.5, and it must be within ±100000",
    );
}
