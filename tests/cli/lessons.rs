//! `nudgeproof lessons check` over the whole course: each lesson with its own seed and 199 others.

use serde_json::{Value, json};
use std::process::{Command, Output};

/// As many lessons as the course has at least.
const COURSE: usize = 12;

fn check(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_nudgeproof"));
    command.args(["lessons", "check"]).args(arguments).current_dir(env!("CARGO_MANIFEST_DIR"));
    command.output().expect("the command line can be started")
}

#[test]
fn json_has_lessons_and_problems_and_the_exit_code_is_the_same() {
    let none = "tests/cases/sessions/as-it-should-be.json";
    let arguments = ["lessons/one-touch.toml", none, "--seeds", "3", "--answers", "--json"];
    let ran = check(&arguments);
    assert_eq!(ran.status.code(), Some(2), "one of them is no lesson");
    let said: Value = serde_json::from_slice(&ran.stdout).expect("JSON");
    let lesson = &said["lessons"][0];
    assert_eq!(lesson["file"], "lessons/one-touch.toml", "{said}");
    assert_eq!(lesson["name"], "one-touch", "{said}");
    assert_eq!(lesson["stages"], 5, "{said}");
    assert_eq!(lesson["seeds"], 4, "{said}");
    assert!(lesson["minutes"].as_f64().is_some_and(|minutes| minutes > 0.0), "{said}");
    let question = &lesson["questions"][0];
    let right =
        question["answers"].as_array().expect("answers").iter().map(|a| a["right"].as_u64());
    assert_eq!(right.sum::<Option<u64>>(), Some(4), "each attempt has one right answer: {said}");
    let problem = said["problems"][0].as_str().expect("a sentence");
    assert!(problem.starts_with(none) && problem.lines().count() == 1, "{said}");
    assert_eq!(said["problems"].as_array().map(Vec::len), Some(1), "{said}");

    let sound: Value = serde_json::from_slice(
        &check(&["lessons/one-touch.toml", "--seeds", "0", "--json"]).stdout,
    )
    .expect("JSON");
    assert_eq!(sound["problems"], json!([]), "{sound}");
    assert_eq!(sound["lessons"][0]["questions"], Value::Null, "not asked for: {sound}");
}

#[test]
fn the_command_line_proves_every_lesson_with_two_hundred_seeds() {
    let ran = check(&["--seeds", "199"]);
    let (says, complains) =
        (String::from_utf8_lossy(&ran.stdout), String::from_utf8_lossy(&ran.stderr));
    assert!(ran.status.success(), "{says}{complains}");
    let sound = says.lines().filter(|l| l.ends_with("sound with 200 seeds")).count();
    assert!(sound >= COURSE && sound == says.lines().count(), "{says}");
}
