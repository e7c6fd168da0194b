//! The command line: what it prints, and what it says of bad input.

use crate::support::{
    AS_IT_SHOULD_BE, HOME_RIDES_ALONG, REFERENCE_RETAKEN, assert_near, file, text_of,
};
use serde_json::Value;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::{Command, Output};

fn case(name: &str) -> PathBuf {
    file(&format!("tests/cases/{name}"))
}

fn run(arguments: &[&std::ffi::OsStr]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nudgeproof")).args(arguments).output().expect("it starts")
}

fn replay(name: &str) -> Value {
    let output = run(&["replay".as_ref(), case(name).as_os_str(), "--json".as_ref()]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("it prints JSON")
}

fn rules(report: &Value) -> Vec<&str> {
    let findings = report["findings"].as_array().expect("a list of findings");
    findings.iter().filter_map(|f| f["rule"].as_str()).collect()
}

#[test]
fn a_session_as_it_should_be_lands_without_a_finding() {
    let report = replay(AS_IT_SHOULD_BE);
    assert_eq!(rules(&report), Vec::<&str>::new(), "no finding");
    assert_eq!(report["score"]["total"], 100, "{}", report["score"]);
    let runs = report["runs"].as_array().expect("runs");
    let kinds: Vec<_> = runs.iter().filter_map(|r| r["kind"].as_str()).collect();
    assert_eq!(kinds, ["reference", "proof", "dry", "production"], "in order");
    let last = &runs[3];
    assert_eq!(last["touches"].as_array().map(Vec::len), Some(4), "four touches");
    assert_eq!(last["seam_misses"][0]["landed"], true, "{}", last["seam_misses"]);
    let dx = last["offset"]["motion"]["dx"].as_f64().expect("an offset");
    assert_near("the nudge of 6 mm is found", dx, 6.0, 0.6);
    let finds = |i: usize| &runs[i]["finds"];
    assert_eq!(finds(0)[0]["outcome"], "reference_stored", "{}", finds(0));
    let found = &finds(3)[0];
    assert_eq!((&found["outcome"], &found["place"]), (&"found".into(), &"part".into()), "{found}");
    assert_eq!(found["may"], serde_json::json!(["x", "y", "turn"]), "{found}");
    assert_eq!(found["offset"], last["offset"]["motion"], "the last place found is the offset");
}

/// The number with so many decimals, rounded by hand: JSON has every digit, CSV those in use.
fn rounded(value: f64, decimals: usize) -> String {
    let unit = 10_i64.pow(decimals as u32);
    let whole = (value.abs() * unit as f64).round() as i64;
    let sign = if value < 0.0 && whole != 0 { "-" } else { "" };
    match decimals {
        0 => format!("{sign}{whole}"),
        _ => format!("{sign}{}.{:0decimals$}", whole / unit, whole % unit),
    }
}

#[test]
fn the_log_is_the_same_as_json_and_as_csv_to_the_last_digit_in_use() {
    let path = case(AS_IT_SHOULD_BE);
    let log = |format: &str| {
        run(&["replay".as_ref(), path.as_os_str(), "--log".as_ref(), format.as_ref()]).stdout
    };
    let rows: Vec<Value> = serde_json::from_slice(&log("json")).expect("JSON");
    // Read by another program's rules: the reader of the crate csv, after RFC 4180.
    let text = log("csv");
    let mut csv = csv::Reader::from_reader(text.as_slice());
    let heads = csv.headers().expect("a line of headings").clone();
    let told = |v: &Value| v.as_str().map_or_else(|| v.to_string(), str::to_owned);
    let mut count = 0;
    for (line, row) in csv.records().zip(&rows) {
        let line = line.expect("as many fields as headings");
        for (head, field) in heads.iter().zip(&line) {
            let same = match &row[head] {
                Value::Null => field.is_empty(),
                Value::Number(n) => {
                    let decimals = field.split_once('.').map_or(0, |(_, d)| d.len());
                    let wanted = match head {
                        "time_s" => 2,
                        "x_mm" | "y_mm" | "z_mm" => 3,
                        _ => 0,
                    };
                    let exact = n.as_f64().expect("a number");
                    decimals == wanted && field == rounded(exact, wanted)
                }
                other => field == told(other),
            };
            assert!(same, "{head}: {field:?} stands for {}", row[head]);
        }
        count += 1;
    }
    assert_eq!(count, rows.len(), "a line a row");
    assert!(rows.iter().any(|r| told(&r["detail"]).contains(',')), "one field needed quotes");
    let touched = rows.iter().filter(|r| r["what"] == "touched").count();
    assert_eq!(touched, 16, "four touches in each of four runs");
}

#[test]
fn the_headline_mistakes_are_found_with_their_cost() {
    for (file, rule, least_mm) in [
        (HOME_RIDES_ALONG, "home-follows-part", 5.0),
        (REFERENCE_RETAKEN, "reference-retaken-on-moved-part", 2.0),
    ] {
        let report = replay(file);
        assert!(rules(&report).contains(&rule), "{file}: {:?}", rules(&report));
        let finding = report["findings"]
            .as_array()
            .and_then(|all| all.iter().find(|f| f["rule"] == rule))
            .expect("the finding");
        let cost = finding["cost_mm"].as_f64().expect("a cost in mm");
        assert!(cost > least_mm, "{file}: {finding}");
        assert!(report["score"]["total"].as_u64() < Some(100), "{file}: it costs marks");
    }
}

/// A file with this text must be refused in one sentence with these words, and exit code 2.
#[track_caller]
fn refused(command: &str, text: &str, expected: &[&str]) {
    let mut file = tempfile(command, text);
    file.1.flush().expect("it can be written");
    let output = run(&[command.as_ref(), file.0.as_os_str()]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    std::fs::remove_file(&file.0).expect("it can be removed");
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert_eq!(said.trim_end().lines().count(), 1, "one sentence: {said}");
    assert!(!said.contains("panicked"), "{said}");
    for words in expected {
        assert!(said.contains(words), "expected {words:?} in: {said}");
    }
}

fn tempfile(command: &str, text: &str) -> (PathBuf, std::fs::File) {
    use std::hash::{BuildHasher as _, RandomState};
    let unique = RandomState::new().hash_one(text);
    let path = std::env::temp_dir().join(format!("nudgeproof-{command}-{unique:x}.json"));
    let mut file = std::fs::File::create(&path).expect("a temporary file");
    file.write_all(text.as_bytes()).expect("it can be written");
    (path, file)
}

fn session_with(from: &str, to: &str) -> String {
    let whole = text_of(&format!("tests/cases/{AS_IT_SHOULD_BE}"));
    assert!(whole.contains(from), "no {from:?} to change");
    whole.replacen(from, to, 1)
}

#[test]
fn a_broken_session_is_refused_with_its_place() {
    refused("replay", "{ \"format\": ", &["line 1", "JSON"]);
    refused("replay", "[]", &["top level"]);
    refused("replay", "{}", &["top level", "format"]);
    let with = session_with;
    refused("replay", &with("nudgeproof-session", "something"), &["key `format`", "something"]);
    refused("replay", &with("\"format_version\": 2", "\"format_version\": 7"), &["expected 2"]);
    refused("replay", &with("bench-side", "bench-seat"), &["key `part`", "bench-side"]);
    refused("replay", &with("\"add_step\"", "\"ad_step\""), &["action 2", "ad_step", "add_step"]);
    refused("replay", &with("\"at\": [-120, -120, 120]", "\"at\": [-120, -120]"), &["action 1"]);
    refused("replay", &with("\"at\": [-120,", "\"at\": [1e300,"), &["action 1", "coordinate"]);
    refused("replay", &with("\"speed\": \"reduced\"", "\"speed\": \"fast\""), &["reduced"]);
    refused(
        "replay",
        &with(
            "{\"action\": \"run\"",
            "{\"action\": \"delete_step\", \"id\": 99},{\"action\": \"run\"",
        ),
        &["delete_step", "no step with id 99"],
    );
    let missing = run(&["replay".as_ref(), "no/such/file.json".as_ref()]);
    assert_eq!(missing.status.code(), Some(2), "a missing file");
}

#[test]
fn a_broken_case_file_is_refused_with_its_place() {
    refused("solve", "{ \"cases\": [ { \"name\": \"a\" ", &["line 1"]);
    refused(
        "solve",
        "{ \"cases\": [ { \"name\": \"a\", \"freedoms\": \"fly\", \"touches\": [] } ] }",
        &["fly", "slide_turn"],
    );
}

#[test]
fn a_study_is_the_same_on_any_number_of_threads() {
    let path = case(AS_IT_SHOULD_BE);
    let study = |threads: &str| {
        let options = ["--runs", "600", "--json", "--threads", threads].map(std::ffi::OsStr::new);
        let mut arguments = vec!["study".as_ref(), path.as_os_str()];
        arguments.extend(options);
        let output = run(&arguments);
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        serde_json::from_slice::<Value>(&output.stdout).expect("it prints JSON")
    };
    let (one, three) = (study("1"), study("3"));
    assert_eq!(one, three, "the threads do not matter");
    assert_eq!(one["runs"], 600, "{one}");
    assert_eq!(one["stopped"], 0, "the routine survives every nudge within the play: {one}");
    let p95 = one["seam_miss_mm"]["p95"].as_f64().expect("a number");
    assert!(p95 > 0.05 && p95 < 0.6, "within tolerance, but not without spread: {p95}");
}

#[test]
fn a_session_without_a_reference_cannot_be_studied() {
    let whole = session_with("\"on\": true", "\"on\": false");
    refused("study", &whole, &["has no reference yet"]);
    refused("study", "{}", &["top level"]);
}

#[test]
fn the_answer_sheet_of_a_shift_has_its_troubles_and_the_best_decisions() {
    let path = case(AS_IT_SHOULD_BE);
    let sheet = |seed: &str| {
        let options = ["--json", "--seed", seed].map(std::ffi::OsStr::new);
        let arguments = [&["shift".as_ref(), path.as_os_str()][..], &options].concat();
        let output = run(&arguments);
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        serde_json::from_slice::<Value>(&output.stdout).expect("it prints JSON")
    };
    let all: Vec<Value> = ["1", "2", "3", "4"].map(sheet).into();
    for sheet in &all {
        let parts = sheet["parts"].as_array().expect("parts");
        assert_eq!(parts.len(), 40, "as many as said");
        let looks = |p: &Value| p["best"].as_array().map_or(0, |d| d.len() - 1);
        let minutes: usize = parts.iter().map(looks).sum::<usize>() * 2;
        let stops = parts.iter().filter(|p| p["seam_miss_mm"].is_null()).count() * 15;
        assert_eq!(sheet["best"]["minutes"], minutes + stops, "{}", sheet["best"]);
    }
    let troubled = |s: &&Value| s["troubles"].as_array().is_some_and(|t| !t.is_empty());
    assert!(all.iter().any(|s| troubled(&s)), "something goes wrong in one of four");
    let output = run(&["shift".as_ref(), path.as_os_str(), "--parts".as_ref(), "201".as_ref()]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(!output.status.success() && said.contains("1..=200"), "{said}");
}

/// Without `--json` each command says the same in words, with the names that the page has.
#[test]
fn what_happened_is_said_in_words() {
    let said = |arguments: &[&str]| {
        let path = case(AS_IT_SHOULD_BE);
        let mut all = vec![arguments[0].as_ref(), path.as_os_str()];
        all.extend(arguments[1..].iter().map(std::ffi::OsStr::new));
        let output = run(&all);
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8_lossy(&output.stdout).into_owned()
    };
    let replayed = said(&["replay"]);
    for expected in [
        "Park bench, side plate with seat rail, seed 59\nrun 1, reference run, reduced speed: finished after ",
        "\n  part: reference stored\n",
        "\nrun 4, production run, full speed, arc on: finished",
        ": lands, ",
        "\nscore: 100 of 100 (weld 40 of 40, method 40 of 40, safety 20 of 20)\n",
    ] {
        assert!(replayed.contains(expected), "{expected:?}: {replayed}");
    }
    let slip = run(&["replay".as_ref(), case(HOME_RIDES_ALONG).as_os_str()]);
    let slip = String::from_utf8_lossy(&slip.stdout).into_owned();
    assert!(slip.contains("\nHome moves with the part: "), "{slip}");
    let studied = said(&["study", "--runs", "200"]);
    assert!(
        studied
            .starts_with("Park bench, side plate with seat rail: 200 runs, 200 landed (100.0 %)\n"),
        "{studied}"
    );
    assert!(studied.contains("largest seam miss: half within 0."), "{studied}");
    let shift = said(&["shift", "--seed", "3"]);
    assert!(shift.contains(", seed 3\n") && shift.contains("\nat best: "), "{shift}");
}

#[test]
fn every_shell_gets_its_completions() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let output = run(&["completions".as_ref(), shell.as_ref()]);
        let script = String::from_utf8_lossy(&output.stdout);
        for word in ["replay", "grade", "json", "keep-out"] {
            assert!(script.contains(word), "{shell}: {word}");
        }
    }
}
