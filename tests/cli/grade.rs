//! `nudgeproof grade`: a folder of sessions as a table, from outside.

use crate::support::{AS_IT_SHOULD_BE, HOME_RIDES_ALONG, REFERENCE_RETAKEN, text_of};
use nudgeproof::lesson::lesson;
use serde_json::Value;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn grade_with(from: &Path, arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_nudgeproof"));
    command.arg("grade").arg(from).args(arguments).output().expect("it starts")
}

/// Grades a folder into another one below it.
fn grade(folder: &Path) -> Output {
    grade_with(folder, &["--out", folder.join("out").to_str().expect("a path in UTF-8")])
}

/// Everything was read, or all but what was left out.
#[track_caller]
fn graded(output: &Output, some_left_out: bool) {
    let code = if some_left_out { 3 } else { 0 };
    assert_eq!(output.status.code(), Some(code), "{}", said(output));
}

/// What it says on standard error.
fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// One of the files it wrote.
fn table(folder: &Path, name: &str) -> String {
    fs::read_to_string(folder.join("out").join(name)).expect("written")
}

/// grades.json.
fn report(folder: &Path) -> Value {
    serde_json::from_str(&table(folder, "grades.json")).expect("JSON")
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
    graded(&out, true);
    assert!(said(&out).contains("4.json"), "the broken file is named");
    let json = report(&folder);
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

    let csv = table(&folder, "grades.csv");
    let lines: Vec<_> = csv.split_terminator("\r\n").collect();
    assert_eq!(lines.len(), 3, "a head and two rows: {csv}");
    assert!(csv.contains("\"Ida, of the early shift\",2,100,100"), "{csv}");
    assert!(csv.contains("\n'=Otto,"), "a name is no formula: {csv}");

    // Once more: what it has written itself is no session.
    graded(&grade(&folder), true);
    assert_eq!(table(&folder, "grades.csv"), csv, "the same again");
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
    attempt("when-it-goes-wrong", 21, &folder.join("2.json"), "Ida", certain);
    attempt("what-follows", 16, &folder.join("3.json"), "Otto", wrong);
    let out = grade(&folder);
    graded(&out, false);
    let said = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(said.contains("predictions, certain: 1 of 2 right"), "{said}");
    assert!(said.contains("causes named at the first try: 1 of 1"), "{said}");

    let json = report(&folder);
    let certain = |of: &Value| of["predictions"]["certain"].clone();
    let tally = |said: u32, right: u32| serde_json::json!({ "said": said, "right": right });
    assert_eq!(certain(&json["learners"][0]), tally(1, 1), "Ida: {json}");
    assert_eq!(certain(&json["learners"][1]), tally(1, 0), "Otto: {json}");
    assert_eq!(certain(&json["class"]), tally(2, 1), "both: {json}");
    assert_eq!(json["learners"][0]["causes_at_first_try"], 1, "{json}");
    assert_eq!(json["learners"][0]["looks"], 1, "in the drill: {json}");
    assert_eq!(json["learners"][1]["looks"], 0, "{json}");

    let csv = table(&folder, "grades.csv");
    let rows: Vec<Vec<_>> = csv.lines().map(|line| line.split(',').collect()).collect();
    let column = rows[0].iter().position(|head| *head == "certain_said").expect("a column");
    assert_eq!(rows[1][column..column + 2], ["1", "1"], "Ida: {csv}");
    assert_eq!(rows[2][column..column + 2], ["1", "0"], "Otto: {csv}");
}

/// In a shift it counts what was done where the touches called for it.
#[test]
fn looks_and_stops_at_alarms_are_counted() {
    let folder = folder("grade-alarms");
    attempt("forty-parts", 5, &folder.join("1.json"), "Ida", |_| {});
    // He goes on whatever he sees.
    let careless = |action: &mut Value| {
        if action["action"] == "decide" && action["what"]["decide"] == "look" {
            action["what"] = serde_json::json!({ "decide": "go_on" });
        }
    };
    attempt("forty-parts", 5, &folder.join("2.json"), "Otto", careless);
    let out = grade(&folder);
    graded(&out, false);
    let json = report(&folder);
    let of = |learner: usize, key: &str| json["learners"][learner][key].as_u64().expect("a number");
    assert!(of(0, "alarms") > 0 && of(0, "decisions_at_alarms") > 0, "Ida: {json}");
    assert!(of(1, "decisions_at_alarms") < of(0, "decisions_at_alarms"), "Otto: {json}");
    let all = of(0, "alarms") + of(1, "alarms");
    let said = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(
        said.contains(&format!("alarms in shifts: {all}; looks and stops at them: ")),
        "{said}"
    );
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
        ("wrong-key", session(r#"{"action": "abort", "now": true}"#), "unknown key `now`"),
        (
            "over-a-limit",
            session(&load(&steps.join(", "))),
            "action 1 (load_routine): a routine holds at most 400 steps, not 3000",
        ),
        ("too-long", " ".repeat(33 * 1024 * 1024), "a file holds at most 32768 KiB, not 33792"),
        ("deep", "[".repeat(100_000), "expected JSON, here `]`, and found the end of the text"),
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
    graded(&out, true);
    let json = report(&folder);
    let rows = json["learners"].as_array().expect("rows");
    let names: Vec<_> = rows.iter().filter_map(|l| l["learner"].as_str()).collect();
    assert_eq!(names, ["Ida", "Otto", "empty"], "before and after the bad files");
    assert!(rows[..2].iter().all(|l| l["best_score"] == 100), "{json}");
    let broken = json["broken"].as_array().expect("broken files");
    assert_eq!(broken.len(), bad.len() + 1, "{json}");
    let said = said(&out);
    for (name, _, reason) in &bad {
        let file = format!("{name}.json");
        let entry = broken.iter().find(|b| b["file"] == file.as_str()).expect("named in the file");
        let problem = entry["problem"].as_str().expect("a sentence");
        assert!(problem.contains(reason), "{problem}");
        assert!(said.contains(problem), "{problem} also on standard error");
    }
    assert!(said.contains("bytes.json: expected a session, a record or statements"), "{said}");
}

#[test]
fn a_folder_that_is_not_there_is_one_sentence() {
    let out = grade(Path::new("no/such/folder"));
    assert_eq!(out.status.code(), Some(2), "bad input");
    let said = said(&out);
    assert!(said.contains("no/such/folder") && said.lines().count() == 1, "{said}");
}

/// Grades these lines of standard input.
fn grade_lines(lines: &[u8], arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_nudgeproof"));
    command.args(["grade", "-"]).args(arguments);
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().expect("it starts");
    child.stdin.take().expect("piped").write_all(lines).expect("all is read");
    child.wait_with_output().expect("it ends")
}

/// A session of a learner on one line.
fn line(from: &str, learner: &str) -> String {
    let text = text_of(&format!("tests/cases/{from}"));
    let mut file: Value = serde_json::from_str(&text).expect("JSON");
    file["learner"] = learner.into();
    file.to_string()
}

/// The same attempts in the same order, however they come and however many threads there are.
#[test]
fn lines_of_standard_input_come_to_the_same_as_files() {
    let folder = folder("grade-lines");
    let cases = [HOME_RIDES_ALONG, AS_IT_SHOULD_BE, REFERENCE_RETAKEN];
    let attempts: Vec<_> = (0..12).map(|n| (cases[n % 3], ["Ida", "Otto"][n % 2])).collect();
    for (n, (case, learner)) in attempts.iter().enumerate() {
        fs::write(folder.join(format!("{n:02}.json")), line(case, learner)).expect("written");
    }
    let lines: Vec<_> = attempts.iter().map(|(case, learner)| line(case, learner)).collect();
    let json = |output: &Output| {
        graded(output, false);
        serde_json::from_slice::<Value>(&output.stdout).expect("JSON")
    };
    let of_files = json(&grade_with(&folder, &["--json", "--threads", "1"]));
    assert_eq!(of_files["learners"][0]["sessions"], 6, "{of_files}");
    let text = lines.join("\n\n") + "\n";
    for threads in ["1", "3"] {
        let arguments = ["--json", "--threads", threads];
        assert_eq!(json(&grade_lines(text.as_bytes(), &arguments)), of_files, "{threads} threads");
    }
    let order = |lines: &[String]| json(&grade_lines(lines.join("\n").as_bytes(), &["--json"]));
    let reversed: Vec<_> = lines.iter().rev().cloned().collect();
    assert_ne!(order(&reversed), of_files, "the latest score goes by the order");
}

#[test]
fn a_bad_line_is_named_by_its_number_and_the_others_are_graded() {
    let mut lines = line(AS_IT_SHOULD_BE, "Ida").into_bytes();
    lines.extend(b"\n\n{ no session\n");
    lines.extend([0xff, b'\n']);
    lines.extend(b" ".repeat(33 << 20));
    lines.extend(b"\n");
    lines.extend(line(AS_IT_SHOULD_BE, "Otto").as_bytes());
    let output = grade_lines(&lines, &[]);
    graded(&output, true);
    assert!(
        String::from_utf8_lossy(&output.stdout).starts_with("2 learners, 2 attempts, 3 left out")
    );
    let said = said(&output);
    for expected in [
        "left out: line 3: line 1, column 3: expected JSON",
        "left out: line 4: expected text in UTF-8",
        "left out: line 5: expected at most 32768 KiB in a line, and found more",
    ] {
        assert!(said.contains(expected), "{expected}: {said}");
    }
}

#[test]
fn what_holds_nothing_to_grade_is_bad_input() {
    let empty = folder("grade-empty");
    let bad = folder("grade-all-bad");
    fs::write(bad.join("1.json"), "{").expect("written");
    let outputs = [grade(&empty), grade(&bad), grade_lines(b"", &[]), grade_lines(b"{\n", &[])];
    for output in outputs {
        assert_eq!(output.status.code(), Some(2), "{}", said(&output));
        assert!(said(&output).ends_with(
            "expected sessions, records or statements about attempts, and could use none\n"
        ));
    }
    assert!(!empty.join("out").exists(), "nothing to write");
}

/// Links, pipes and folders that nobody may read: told, and passed over.
#[cfg(unix)]
#[test]
fn only_files_are_read_and_each_once() {
    use std::os::unix::fs::{PermissionsExt as _, symlink};
    let folder = folder("grade-links");
    let below = folder.join("below");
    fs::create_dir(&below).expect("made");
    copy(AS_IT_SHOULD_BE, &below.join("1.json"), "Ida");
    symlink("1.json", below.join("2.json")).expect("a link to a file");
    symlink("..", below.join("up")).expect("a link to a folder");
    let pipe = Command::new("mkfifo").arg(folder.join("pipe.json")).status();
    assert!(pipe.expect("mkfifo").success(), "a pipe");
    let locked = folder.join("locked");
    fs::create_dir(&locked).expect("made");
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o0)).expect("locked");
    let may_read_all = fs::read_dir(&locked).is_ok();
    let output = grade(&folder);
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o700)).expect("unlocked");
    graded(&output, true);
    assert_eq!(report(&folder)["learners"][0]["sessions"], 1, "one file, one attempt");
    let said = said(&output);
    for expected in
        ["below/2.json: expected a file or a folder, and found a link", "below/up: ", "pipe.json: "]
    {
        assert!(said.contains(expected), "{expected}: {said}");
    }
    assert!(may_read_all || said.contains("locked: expected to read it, and could not"), "{said}");
    assert_eq!(said.lines().count(), if may_read_all { 3 } else { 4 }, "{said}");
}

#[test]
fn a_file_of_somebody_else_is_never_written_over() {
    let folder = folder("grade-own");
    copy(AS_IT_SHOULD_BE, &folder.join("grades.json"), "Ida");
    let before = fs::read_to_string(folder.join("grades.json")).expect("read");
    let into = |out: &Path| grade_with(&folder, &["--out", out.to_str().expect("UTF-8")]);
    let refused = |output: &Output, file: &str| {
        assert_eq!(output.status.code(), Some(2), "{}", said(output));
        assert!(said(output).contains(file), "{}", said(output));
        assert!(said(output).contains("a folder for grades alone"), "{}", said(output));
    };
    refused(&into(&folder), "grades.json");
    assert_eq!(fs::read_to_string(folder.join("grades.json")).expect("read"), before, "as it was");
    let other = folder.join("other");
    fs::create_dir(&other).expect("made");
    fs::write(other.join("notes.txt"), "mine").expect("written");
    refused(&into(&other), "notes.txt");
    // What was written before is no session, and may be written anew; nothing unfinished is left.
    for _ in 0..2 {
        graded(&into(&folder.join("out")), false);
    }
    assert_eq!(
        report(&folder)["learners"][0]["sessions"],
        1,
        "the learner's own grades.json is read"
    );
    let mut files: Vec<_> = fs::read_dir(folder.join("out")).expect("there").collect();
    files.sort_by_key(|file| file.as_ref().expect("a file").file_name());
    let names: Vec<_> = files.iter().map(|f| f.as_ref().expect("a file").file_name()).collect();
    assert_eq!(names, ["grades.csv", "grades.json", "grades.jsonl", "grades.parquet"]);
}

/// All four files tell the same. Parquet is read back by the reader of its library.
#[test]
fn every_kind_of_table_has_the_same_rows() {
    use parquet::file::reader::{FileReader as _, SerializedFileReader};
    use parquet::record::Field;
    let folder = folder("grade-tables");
    copy(HOME_RIDES_ALONG, &folder.join("1.json"), "Ida");
    let never_found =
        r#"{"format": "nudgeproof-session", "format_version": 2, "part": "bench-side"}"#;
    fs::write(folder.join("2.json"), never_found).expect("written");
    graded(&grade(&folder), false);
    let json = report(&folder);
    let rows = json["learners"].as_array().expect("rows");
    let lines = table(&folder, "grades.jsonl");
    let lines: Vec<Value> =
        lines.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect();
    assert_eq!(&lines, rows);
    let file = fs::File::open(folder.join("out/grades.parquet")).expect("written");
    let parquet = SerializedFileReader::new(file).expect("Parquet");
    let cell = |field: &Field| match field {
        Field::Null => String::new(),
        Field::Str(text) => text.clone(),
        Field::Long(count) => count.to_string(),
        Field::Double(mm) => mm.to_string(),
        other => panic!("a column of another kind: {other:?}"),
    };
    let of_parquet: Vec<Vec<_>> = parquet
        .get_row_iter(None)
        .expect("rows")
        .map(|row| {
            let row = row.expect("a row");
            row.get_column_iter().map(|(head, field)| (head.clone(), cell(field))).collect()
        })
        .collect();
    let csv = table(&folder, "grades.csv");
    let mut csv = csv::Reader::from_reader(csv.as_bytes());
    let heads = csv.headers().expect("heads").clone();
    let of_csv: Vec<Vec<_>> = csv
        .records()
        .map(|row| {
            let row = row.expect("a row");
            heads.iter().zip(&row).map(|(head, cell)| (head.to_owned(), cell.to_owned())).collect()
        })
        .collect();
    assert_eq!(of_parquet, of_csv);
    assert_eq!(of_csv[0][0], ("learner".into(), "2".into()), "in the order of the names");
    assert_eq!(of_csv[0][5], ("latest_miss_mm".into(), String::new()), "nothing was found");
    assert_eq!(of_csv[1][5].1, rows[1]["latest_miss_mm"].to_string());
}

#[test]
fn names_steer_neither_terminal_nor_spreadsheet() {
    let folder = folder("grade-names");
    copy(AS_IT_SHOULD_BE, &folder.join("1.json"), "Ida\u{1b}[2J;=cmd");
    copy(AS_IT_SHOULD_BE, &folder.join("2.json"), "\u{200b}\u{ff1d}1");
    fs::write(folder.join("esc\u{1b}[31m.json"), "{").expect("written");
    let output = grade(&folder);
    graded(&output, true);
    let csv = table(&folder, "grades.csv");
    assert!(csv.contains("\nIda�[2J;'=cmd,"), "{csv}");
    assert!(csv.contains("\n\u{200b}'\u{ff1d}1,"), "{csv}");
    let steers = |text: &str| text.contains('\u{1b}');
    assert!(!steers(&csv) && !steers(&said(&output)), "{}", said(&output));
    assert!(!steers(&String::from_utf8_lossy(&output.stdout)));
}
