//! What comes from outside and is meant to hurt, or is only strange: each is answered at once by one plain
//! sentence that names the place.

use crate::support::{AS_IT_SHOULD_BE, text_of};
use serde_json::{Value, json};
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// Words that a learner need not know.
const WORDS_OF_PROGRAMS: [&str; 10] = [
    "ident",
    "u32",
    "u64",
    "usize",
    "f64",
    "struct ",
    "variant",
    "EOF",
    "invalid type",
    "panicked",
];
/// No message is longer, with any list of what may stand there.
const LONGEST: usize = 1500;

fn write(name: &str, text: &str) -> String {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("hostile");
    std::fs::create_dir_all(&folder).expect("a folder");
    let path = folder.join(name);
    std::fs::write(&path, text).expect("written");
    path.to_string_lossy().into_owned()
}

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nudgeproof")).args(arguments).output().expect("it ends")
}

/// Each file is refused in one sentence that begins as said behind its name; all that are not are told at once.
#[track_caller]
fn refused<'a>(command: &str, files: impl IntoIterator<Item = (&'a str, String, String)>) {
    let wrong = files.into_iter().filter_map(|(name, text, expected)| {
        let output = run(&[command, &write(name, &text)]);
        let said = String::from_utf8_lossy(&output.stderr);
        let sentence = said.split_once(&format!("{name}: ")).map_or(&*said, |(_, said)| said);
        let plain = WORDS_OF_PROGRAMS.iter().all(|word| !said.contains(word));
        let code = output.status.code();
        let as_it_should_be = code == Some(2)
            && said.lines().count() == 1
            && sentence.starts_with(&expected)
            && said.len() < LONGEST
            && plain;
        (!as_it_should_be).then(|| format!("{name}: {code:?}\n  {expected}\n  {sentence}"))
    });
    let wrong: Vec<_> = wrong.collect();
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// A session of the main job with one piece of its text replaced.
fn session(from: &str, to: &str) -> String {
    let whole = text_of(&format!("tests/cases/{AS_IT_SHOULD_BE}"));
    assert!(whole.contains(from), "no {from:?} to change");
    whole.replacen(from, to, 1)
}

/// A session whose only action loads a routine.
fn loading(routine: &Value) -> String {
    with_actions(&json!([{ "action": "load_routine", "routine": routine }]))
}

fn with_actions(actions: &Value) -> String {
    json!({ "format": "nudgeproof-session", "format_version": 2, "part": "bench-side", "actions": actions })
        .to_string()
}

fn feel(id: usize) -> Value {
    json!({
        "id": id, "do": "feel", "from": "a", "way": "linear", "direction": [1, 0, 0], "face": format!("f{id}"),
    })
}

#[test]
fn a_session_is_refused_in_plain_words() {
    let long = "k".repeat(1_000_000);
    let shown = "k".repeat(80) + "… (1000000 characters)";
    let home = "\"point\": \"home\"";
    let first = "[-120, -120, 120]";
    let files = [
        (
            "empty.json",
            String::new(),
            "line 1, column 0: expected JSON, here a value, and found the end of the text",
        ),
        (
            "nope.json",
            "{\"format\": nope}".into(),
            "line 1, column 13: expected JSON, here true, false, null, a number, or text in quotes",
        ),
        (
            "comma.json",
            "{\"format\": 1,}".into(),
            "line 1, column 14: expected JSON, here a key in quotes",
        ),
        (
            "deep.json",
            "[".repeat(1_000_000),
            "line 1, column 1000000: expected JSON, here `]`, and found the end of the text",
        ),
        ("deep-closed.json", "[".repeat(100_000) + &"]".repeat(100_000), "top level: "),
        ("long.json", " ".repeat(33 << 20), "a file holds at most 32768 KiB, not 33792"),
        ("list.json", "[]".into(), "top level: expected an object"),
        (
            "long-format.json",
            session("nudgeproof-session", &long),
            &format!("key `format`: expected \"nudgeproof-session\", and found \"{shown}\""),
        ),
        (
            "version.json",
            session("\"format_version\": 2", "\"format_version\": -2"),
            "top level: format_version: expected a whole number from 0 to 4294967295, and found the number -2",
        ),
        (
            "half.json",
            session("\"format_version\": 2", "\"format_version\": 2.5"),
            "top level: format_version: expected a whole number from 0 to 4294967295, and found the number 2.5",
        ),
        (
            "long-key.json",
            session("\"seed\"", &format!("\"{long}\"")),
            &format!("top level: {shown}: unknown key `{shown}`, expected one of `format`"),
        ),
        (
            "seed-twice.json",
            session("\"seed\"", "\"seed\": 1, \"seed\""),
            "top level: expected each key once, and found `seed` again",
        ),
        (
            "seed.json",
            session("\"seed\": 59", "\"seed\": 1e30"),
            "top level: seed: expected a whole number from 0, and found the number 1e+30",
        ),
        (
            "huge.json",
            session(first, "[1e999, 0, 0]"),
            "action 1 (teach): at[0]: expected a number up to 1.8e308",
        ),
        (
            "far.json",
            session(first, "[1e9, 0, 0]"),
            "action 1 (teach): a coordinate of the point is 1.00e9 mm, and it must be within",
        ),
        (
            "farther.json",
            session(first, "[1e308, 0, 0]"),
            "action 1 (teach): a coordinate of the point is 1.00e308 mm, and it must be within",
        ),
        (
            "words.json",
            session(first, "[\"a\", 0, 0]"),
            "action 1 (teach): at[0]: expected a number, and found the text \"a\"",
        ),
        (
            "long-text.json",
            session(first, &format!("[\"{long}\", 0, 0]")),
            "action 1 (teach): at[0]: expected a number, and found the text \"kkk",
        ),
        (
            "point-twice.json",
            session(home, &format!("{home}, {home}")),
            "action 1 (teach): expected each key once, and found `point` again",
        ),
        (
            "long-name.json",
            session(home, &format!("\"point\": \"{long}\"")),
            "action 1 (teach): a name holds at most 200 characters, not 1000000",
        ),
        (
            "long-action.json",
            session("\"teach\"", &format!("\"{long}\"")),
            &format!("action 1 ({shown}): action: expected one of "),
        ),
        (
            "long-part.json",
            session("bench-side", &long),
            &format!("key `part`: there is no part named \"{shown}\""),
        ),
        (
            "long-learner.json",
            session("\"seed\"", &format!("\"learner\": \"{long}\", \"seed\"")),
            "the part cannot be set up: a name holds at most 200 characters",
        ),
        (
            "body-twice.json",
            with_actions(&json!([])).replace(
                "[]",
                r#"[{"action": "place_part", "part": {}, "bodies": {"a": {}, "a": {}}}]"#,
            ),
            "action 1 (place_part): bodies: expected each key once, and found `a` again",
        ),
    ];
    refused("replay", files.map(|(name, text, expected)| (name, text, expected.to_owned())));
}

/// What would take time or memory out of proportion is refused before it does.
#[test]
fn a_session_that_would_take_long_is_refused_by_a_limit() {
    let steps = |steps: Vec<Value>| loading(&json!({ "steps": steps }));
    let points = |n: usize| -> Vec<Value> {
        (0..n).map(|i| json!({ "name": format!("p{i}"), "at": [i, 0, 0] })).collect()
    };
    // A saw: no two of its edges cross.
    let teeth = (0..999).map(|i| [f64::from(i), f64::from(i % 2)]);
    let corners: Vec<_> = teeth.chain([[500.0, 900.0]]).collect();
    let bodies: Vec<_> = (0..100)
        .map(|i| json!({ "name": format!("b{i}"), "outline": corners, "z": [0, 9] }))
        .collect();
    let mut part =
        serde_json::to_value(nudgeproof::cell::part_by_name("bench-side").expect("a part"))
            .expect("JSON");
    part["name"] = "own-many".into();
    part["bodies"] = bodies.into();
    let session =
        json!({ "format": "nudgeproof-session", "format_version": 2, "part": part, "actions": [] });
    let files = [
        (
            "feels.json",
            steps((1..=1000).map(feel).collect()),
            "action 1 (load_routine): a routine holds at most 400 steps, not 1000",
        ),
        (
            "some-feels.json",
            steps((1..=300).map(feel).collect()),
            "action 1 (load_routine): a routine holds at most 100 feels, not 300",
        ),
        (
            "points.json",
            loading(&json!({ "points": points(100_000), "steps": [] })),
            "action 1 (load_routine): a routine holds at most 500 points, not 100000",
        ),
        (
            "corners.json",
            session.to_string(),
            "the part cannot be set up: bodies and clamps: a part holds at most 2000 edges",
        ),
        (
            "actions.json",
            with_actions(&vec![json!({ "action": "abort" }); 100_001].into()),
            "key `actions`: a session holds at most 100000 actions, not 100001",
        ),
    ];
    refused("replay", files.map(|(name, text, expected)| (name, text, expected.to_owned())));
}

#[test]
fn a_case_file_is_refused_in_plain_words_and_by_limits() {
    let touch = |i: usize| json!({ "face": format!("f{i}"), "direction": [0, 1, 0], "reference": [i, 0, 5], "current": [i, 1, 5] });
    let of = |touches: Vec<Value>| json!({ "cases": [{ "name": "a", "sigma_mm": 0.1, "freedoms": ["x"], "touches": touches }] });
    let many = of((0..100_000).map(touch).collect()).to_string();
    let mut welds = of(vec![touch(0)]);
    welds["cases"][0]["weld_points"] =
        vec![json!({ "point": [0, 0, 0], "seam_direction": [1, 0, 0] }); 10_001].into();
    let long = of(vec![touch(0)]).to_string().replacen("f0", &"f".repeat(5 << 20), 1);
    let files = [
        ("touches.json", many, "line 1, column "),
        ("welds.json", welds.to_string(), "line 1, column "),
        ("long-face.json", long, "case 1: a case holds at most 4096 KiB, not "),
        (
            "twice.json",
            r#"{"cases": [], "cases": []}"#.into(),
            "line 1, column 22: expected each key once, and found `cases` again",
        ),
        (
            "nope-case.json",
            "{\"cases\": [nope]}".into(),
            "line 1, column 13, case 1: expected true, false, null",
        ),
        (
            "way.json",
            r#"{"cases": [{"freedoms": "fly", "touches": []}]}"#.into(),
            "line 1, column 29, case 1, freedoms: expected a list of `x`",
        ),
    ];
    refused("solve", files.map(|(name, text, expected)| (name, text, expected.to_owned())));
    let said = String::from_utf8_lossy(
        &run(&["solve", &write("touches.json", &of((0..1001).map(touch).collect()).to_string())])
            .stderr,
    )
    .into_owned();
    assert!(
        said.contains("case 1, touches[1000]: a case holds at most 1000 touches, not 1001")
            || said.contains("case 1, touches: a case holds at most 1000 touches, not 1001"),
        "{said}"
    );
    let most =
        run(&["solve", &write("most.json", &of((0..1000).map(touch).collect()).to_string())]);
    assert!(most.status.success(), "as many as may be: {}", String::from_utf8_lossy(&most.stderr));
}

/// A byte-order mark is no error: some editors put one before every text.
#[test]
fn a_byte_order_mark_is_passed_over() {
    let whole = session("\"seed\"", "\"seed\"");
    let case = r#"{"sigma_mm": 0.1, "cases": []}"#;
    let part = text_of("src/cell/parts/bin-hinge.toml");
    for (command, name, text) in [
        ("replay", "bom.json", &*whole),
        ("solve", "bom-case.json", case),
        ("layout", "bom.toml", &part),
    ] {
        let output = run(&[command, &write(name, &format!("\u{feff}{text}"))]);
        assert!(output.status.success(), "{name}: {}", String::from_utf8_lossy(&output.stderr));
    }
}

/// Nobody can be told, but nothing breaks down.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_ends_with_a_code_and_no_panic() {
    let full =
        || Stdio::from(std::fs::OpenOptions::new().write(true).open("/dev/full").expect("there"));
    let good = write("good.json", &session("\"seed\"", "\"seed\""));
    let bad = write("bad.json", "{");
    let code = |arguments: &[&str], out: Stdio, err: Stdio| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_nudgeproof"));
        command.args(arguments).stdin(Stdio::piped()).stdout(out).stderr(err);
        let mut child = command.spawn().expect("it starts");
        let _ = child.stdin.take().expect("piped").write_all(b"{\n");
        child.wait().expect("it ends").code()
    };
    for arguments in [
        &["replay", &good][..],
        &["replay", &good, "--json"],
        &["lessons", "solve", "one-touch"],
        &["completions", "bash"],
    ] {
        assert_eq!(code(arguments, full(), Stdio::null()), Some(2), "{arguments:?}");
    }
    for arguments in [&["replay", &bad][..], &["grade", "-"], &["grade", "no/such/folder"]] {
        assert_eq!(code(arguments, Stdio::null(), full()), Some(2), "{arguments:?}");
    }
}

/// Control characters of names and file names do not reach the terminal.
#[test]
fn nothing_in_a_file_steers_the_terminal() {
    let output = run(&[
        "replay",
        &write("esc\u{1b}[31m.json", &session("nudgeproof-session", "\\u001b[2J\u{9b}31m")),
    ]);
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(!said.trim_end().contains(char::is_control), "{said:?}");
    let named = session("\"point\": \"home\"", "\"point\": \"ho\\u001b[31mme\"");
    let output = run(&["replay", &write("named.json", &named)]);
    let said = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
    assert!(!said.lines().any(|line| line.contains(char::is_control)), "{said:?}");
}
