//! `nudgeproof solve` on whole, broken and very large files.

use std::io::Write;
use std::process::{Command, Output, Stdio};

fn solve(text: &[u8], arguments: &[&str]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_nudgeproof"))
        .args(["solve", "-"])
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command starts");
    // A refused file may leave the pipe closed before all is written.
    let _ = child.stdin.take().expect("piped").write_all(text);
    child.wait_with_output().expect("the command ends")
}

/// One sentence with the place and what was expected; exit code 2; nothing printed.
#[track_caller]
fn broken(text: &str, says: &[&str]) {
    let output = solve(text.as_bytes(), &[]);
    let problem = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{problem}");
    assert_eq!(problem.trim().lines().count(), 1, "one line: {problem}");
    for part in says {
        assert!(problem.contains(part), "{problem:?} should say {part:?}");
    }
    assert!(output.stdout.is_empty(), "nothing is printed for a broken file");
}

const TOUCH: &str = r#"{"face":"a","direction":[0,0,-1],"reference":[0,0,10],"current":[0,0,7.5]}"#;

fn one(touch: &str) -> String {
    format!(
        r#"{{"sigma_mm":0.1,"cases":[{{"name":"first","freedoms":"slide_one","touches":[{touch}]}}]}}"#
    )
}

#[test]
fn a_case_is_answered_in_the_layout_of_expect() {
    let output = solve(one(TOUCH).as_bytes(), &["--json"]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let answers: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(answers[0]["ok"], true);
    assert_eq!(answers[0]["shift_along_search"], 2.5);
    let named = solve(one(TOUCH).as_bytes(), &["--json", "--names"]);
    let answers: serde_json::Value = serde_json::from_slice(&named.stdout).expect("JSON");
    assert_eq!(answers[0]["name"], "first");
    assert_eq!(answers[0]["ok"], true);
}

#[test]
fn no_cases_no_answers() {
    let output = solve(br#"{"cases":[]}"#, &["--json"]);
    assert!(output.status.success());
    assert_eq!(String::from_utf8_lossy(&output.stdout), "[]\n");
}

#[test]
fn a_search_that_found_nothing_is_an_answer() {
    for current in [r#","current":null"#, ""] {
        let text =
            one(&format!(r#"{{"face":"a","direction":[0,0,-1],"reference":[0,0,10]{current}}}"#));
        let output = solve(text.as_bytes(), &["--json"]);
        let answers: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
        assert_eq!(answers[0]["code"], "no_contact");
        assert!(answers[0]["error"].as_str().is_some_and(|e| e.contains("touch 1 (a)")));
    }
}

#[test]
fn broken_files_are_named_with_place_and_expectation() {
    broken("", &["-: line 1, column", "the end of the text"]);
    broken("[]", &["line 1, column 1", "expected a case file"]);
    broken("{}", &["missing key `cases`"]);
    broken(r#"{"cases": 3}"#, &["line 1, column", "cases", "expected a list of cases"]);
    broken(
        "{\"cases\": [\n {\"freedoms\": \"fly\"}]}",
        &["line 2, column 19, case 1, freedoms", "`slide_turn`"],
    );
    broken(
        &one(r#"{"face":"a","direction":[0,0],"reference":[0,0,0]}"#),
        &["case 1, touches[0].direction", "expected a list of 3"],
    );
    broken(
        &one(r#"{"face":"a","direction":[0,"up",0],"reference":[0,0,0]}"#),
        &["case 1, touches[0].direction[1]", "expected a number"],
    );
    broken(
        &one(r#"{"face":"a","reference":[0,0,0]}"#),
        &["case 1, touches[0]", "missing key `direction`"],
    );
    broken(
        &one(r#"{"face":"a","direction":[0,0,1e999],"reference":[0,0,0]}"#),
        &["expected a number up to 1.8e308"],
    );
    broken(
        &format!(r#"{{"cases":[{{"name":"x","freedoms":"slide_one","touches":[{TOUCH}]}}]}}"#),
        &["case 1 \"x\"", "missing key `sigma_mm`"],
    );
    broken(&one(TOUCH).replace("]}]}", "]}"), &["after case 1 \"first\"", "the end of the text"]);
    broken(&(one(TOUCH) + "x"), &["expected the end of the text, and found more"]);
    broken("\u{0}\u{1}", &["line 1"]);
}

#[test]
fn a_file_that_is_not_there_is_named() {
    let output = Command::new(env!("CARGO_BIN_EXE_nudgeproof"))
        .args(["solve", "no-such-file.json"])
        .output()
        .expect("starts");
    assert_eq!(output.status.code(), Some(2));
    assert!(
        String::from_utf8_lossy(&output.stderr)
            .starts_with("nudgeproof: no-such-file.json: cannot be read")
    );
}

#[test]
fn answers_are_said_in_a_line_each() {
    let first = format!(r#"{{"name":"first","freedoms":"slide_one","touches":[{TOUCH}]}}"#);
    let text = format!(r#"{{"sigma_mm":0.1,"cases":[{first},{CASE_WITHOUT_NAME}]}}"#);
    let output = solve(text.as_bytes(), &[]);
    let said = String::from_utf8_lossy(&output.stdout);
    let lines: Vec<_> = said.lines().collect();
    assert_eq!(lines.len(), 2, "{said}");
    assert!(lines[0].starts_with("first: shift 0.000, 0.000, −2.500 mm; "), "{said}");
    assert!(lines[1].starts_with("case 2: ") && lines[1].contains("touch 1 (a)"), "{said}");
}

/// Its search found nothing.
const CASE_WITHOUT_NAME: &str = r#"{"freedoms":"slide_one","touches":[{"face":"a","direction":[0,0,-1],"reference":[0,0,10]}]}"#;
