//! `nudgeproof grade`: a folder of sessions as a table, from outside.

use crate::support::{AS_IT_SHOULD_BE, HOME_RIDES_ALONG, text_of};
use nudgeproof::lesson::lesson;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn grade(folder: &Path) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_nudgeproof"));
    command.arg("grade").arg(folder).output().expect("it starts")
}

/// A folder of its own for one test, empty.
fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).expect("a folder to write to");
    path
}

fn copy(from: &str, to: &Path, learner: &str) {
    let text = text_of(&format!("tests/cases/{from}"));
    let mut file: Value = serde_json::from_str(&text).expect("JSON");
    file["learner"] = learner.into();
    file["house_rules"] = serde_json::json!({ "name": "Harbour Street" });
    fs::write(to, file.to_string()).expect("written");
}

#[test]
fn one_row_a_learner_and_broken_files_do_not_stop_it() {
    let folder = folder("grade");
    copy(HOME_RIDES_ALONG, &folder.join("1.json"), "Ida, of the early shift");
    copy(AS_IT_SHOULD_BE, &folder.join("2.json"), "Ida, of the early shift");
    copy(AS_IT_SHOULD_BE, &folder.join("3.json"), "=Otto");
    fs::write(folder.join("4.json"), "{ no session").expect("written");
    let out = grade(&folder);
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    assert!(String::from_utf8_lossy(&out.stderr).contains("4.json"), "the broken file is named");

    let json: Value =
        serde_json::from_str(&fs::read_to_string(folder.join("grades.json")).expect("written"))
            .expect("JSON");
    assert_eq!(json["learners"].as_array().map(Vec::len), Some(2), "{json}");
    assert_eq!(json["broken"][0]["file"], "4.json", "{json}");
    let ida = json["learners"].as_array().and_then(|l| l.iter().find(|l| l["sessions"] == 2));
    let ida = ida.expect("Ida has two sessions");
    assert_eq!(ida["house_rules"], serde_json::json!(["Harbour Street"]), "{ida}");
    assert_eq!(ida["best_score"], 100, "{ida}");
    assert_eq!(ida["findings"]["home-follows-part"], 1, "{ida}");
    assert_eq!(ida["skills"]["keep_frame"]["in_a_row"], 1, "the slip began the row again: {ida}");
    assert_eq!(ida["skills"]["plan_touches"]["in_a_row"], 2, "{ida}");
    assert_eq!(ida["skills"]["plan_touches"]["mastered"], false, "one part is not two: {ida}");

    let csv = fs::read_to_string(folder.join("grades.csv")).expect("written");
    let lines: Vec<_> = csv.split_terminator("\r\n").collect();
    assert_eq!(lines.len(), 3, "a head and two rows: {csv}");
    assert!(csv.contains("\"Ida, of the early shift\",2,100,100"), "{csv}");
    assert!(csv.contains("\n'=Otto,"), "a name is no formula: {csv}");

    // Once more: what it has written itself is no session.
    assert!(grade(&folder).status.success(), "a second time");
    let again = fs::read_to_string(folder.join("grades.csv")).expect("written");
    assert_eq!(again, csv, "the same again");
}

/// Writes a session of a lesson, done as it should be and then changed.
fn attempt(name: &str, seed: u64, to: &Path, learner: &str, change: impl Fn(&mut Value)) {
    let attempt = lesson(name).expect("it is there").variant(seed).expect("any seed");
    let mut file: Value =
        serde_json::from_str(&attempt.solved().expect("it can be done").to_json()).expect("JSON");
    file["learner"] = learner.into();
    for action in file["actions"].as_array_mut().expect("actions") {
        change(action);
    }
    fs::write(to, file.to_string()).expect("written");
}

/// Ida knows, Otto thinks he does: what each predicted is counted by how sure they were.
#[test]
fn predictions_are_counted_by_how_sure_and_causes_by_the_first_try() {
    let folder = folder("grade-predictions");
    let certain = |_: &mut Value| {};
    // The weld lands with this seed, and never misses towards the plate.
    let wrong = |action: &mut Value| {
        if action["action"] == "predict" && action["certainty"] == "certain" {
            let right = action["answer"].as_u64().expect("a number");
            action["answer"] = (right % 2 + 1).into();
        }
    };
    attempt("what-follows", 16, &folder.join("1.json"), "Ida", certain);
    attempt("when-it-goes-wrong", 24, &folder.join("2.json"), "Ida", certain);
    attempt("what-follows", 16, &folder.join("3.json"), "Otto", wrong);
    let out = grade(&folder);
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let said = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(said.contains("predictions, certain: 1 of 2 right"), "{said}");
    assert!(said.contains("causes named at the first try: 1 of 1"), "{said}");

    let text = fs::read_to_string(folder.join("grades.json")).expect("written");
    let json: Value = serde_json::from_str(&text).expect("JSON");
    let certain = |of: &Value| of["predictions"]["certain"].clone();
    let tally = |said: u32, right: u32| serde_json::json!({ "said": said, "right": right });
    assert_eq!(certain(&json["learners"][0]), tally(1, 1), "Ida: {json}");
    assert_eq!(certain(&json["learners"][1]), tally(1, 0), "Otto: {json}");
    assert_eq!(certain(&json["class"]), tally(2, 1), "both: {json}");
    assert_eq!(json["learners"][0]["causes_at_first_try"], 1, "{json}");

    let csv = fs::read_to_string(folder.join("grades.csv")).expect("written");
    let rows: Vec<Vec<_>> = csv.lines().map(|line| line.split(',').collect()).collect();
    let column = rows[0].iter().position(|head| *head == "certain_said").expect("a column");
    assert_eq!(rows[1][column..column + 2], ["1", "1"], "Ida: {csv}");
    assert_eq!(rows[2][column..column + 2], ["1", "0"], "Otto: {csv}");
}

/// A file with any error does not stop the grading of the others.
#[test]
fn a_bad_file_is_named_with_its_reason_and_the_others_are_graded() {
    let session = |actions: &str| {
        format!(
            r#"{{"format": "nudgeproof-session", "format_version": 2, "part": "bench-side", "actions": [{actions}]}}"#
        )
    };
    let feel = |id: u32| {
        format!(
            r#"{{"id": {id}, "do": "feel", "from": "a", "way": "linear", "direction": [1, 0, 0], "face": "a"}}"#
        )
    };
    let steps: Vec<_> = (1..=3000).map(feel).collect();
    let load =
        |steps: &str| format!(r#"{{"action": "load_routine", "routine": {{"steps": [{steps}]}}}}"#);
    let records = r#"{"format": "nudgeproof-records", "format_version": 9, "records": []}"#;
    let bad = [
        ("not-json", "{ no session".to_owned(), "expected JSON"),
        ("wrong-key", session(r#"{"action": "abort", "now": true}"#), "unknown field `now`"),
        (
            "over-a-limit",
            session(&load(&steps.join(", "))),
            "action 1 (load_routine): a routine holds at most 400 steps, not 3000",
        ),
        ("too-long", " ".repeat(33 * 1024 * 1024), "a file holds at most 32768 KiB, not 33792"),
        ("deep", "[".repeat(100_000), "invalid type: sequence"),
        ("records", records.to_owned(), "key `format_version`: expected 1, and found 9"),
        ("not-text", "\u{0}".to_owned(), "expected JSON"),
    ];
    let folder = folder("grade-bad-files");
    copy(AS_IT_SHOULD_BE, &folder.join("0.json"), "Ida");
    for (name, text, _) in &bad {
        fs::write(folder.join(format!("{name}.json")), text).expect("written");
    }
    fs::write(folder.join("bytes.json"), [0xff, 0xfe, 0x00]).expect("written");
    // Nothing to feel and nothing to find.
    let empty = r#"{"action": "set_reference", "on": true},
        {"action": "add_step", "step": {"do": "sensing_on"}},
        {"action": "add_step", "step": {"do": "find", "may": []}},
        {"action": "run", "speed": "full"}"#;
    fs::write(folder.join("empty.json"), session(empty)).expect("written");
    copy(AS_IT_SHOULD_BE, &folder.join("zz.json"), "Otto");

    let out = grade(&folder);
    assert!(out.status.success(), "graded: {}", String::from_utf8_lossy(&out.stderr));
    let json: Value =
        serde_json::from_str(&fs::read_to_string(folder.join("grades.json")).expect("written"))
            .expect("JSON");
    let rows = json["learners"].as_array().expect("rows");
    let names: Vec<_> = rows.iter().filter_map(|l| l["learner"].as_str()).collect();
    assert_eq!(names, ["Ida", "Otto", "empty"], "before and after the bad files");
    assert!(rows[..2].iter().all(|l| l["best_score"] == 100), "{json}");
    let broken = json["broken"].as_array().expect("broken files");
    assert_eq!(broken.len(), bad.len() + 1, "{json}");
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    for (name, _, reason) in &bad {
        let file = format!("{name}.json");
        let entry = broken.iter().find(|b| b["file"] == file.as_str()).expect("named in the file");
        let problem = entry["problem"].as_str().expect("a sentence");
        assert!(problem.contains(reason), "{problem}");
        assert!(said.contains(problem), "{problem} also on standard error");
    }
    assert!(said.contains("bytes.json: expected a session or a record"), "{said}");
}

#[test]
fn a_folder_that_is_not_there_is_one_sentence() {
    let out = grade(Path::new("no/such/folder"));
    assert_eq!(out.status.code(), Some(2), "bad input");
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    assert!(said.contains("no/such/folder") && said.lines().count() == 1, "{said}");
}
