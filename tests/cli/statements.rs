//! `nudgeproof grade` on statements of a learning record store, as `src/app/course_system/cmi5.js` sends them. That they
//! come out of a store as they went in is held by tests/browser/delivery/cmi5.test.mjs.

use crate::support::{AS_IT_SHOULD_BE, text_of};
use nudgeproof::lesson::{LessonRecord, RecordBook, lesson};
use serde_json::{Value, json};
use std::fs;
use std::io::{BufRead as _, BufReader, Write as _};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::thread;

const RECORD: &str = "urn:uuid:6f0c7b52-3a0e-4a56-9f7e-6a1f6f9f2b13";

/// The record of a lesson done as it should be.
fn record(name: &str, seed: u64) -> LessonRecord {
    let attempt = lesson(name).expect("it is there").variant(seed).expect("any seed");
    LessonRecord::of(&attempt, &attempt.solved().expect("it can be done"), 1)
}

/// The statement about a record, `second` seconds after some moment.
fn statement(record: impl Into<Value>, learner: &str, second: u32) -> Value {
    json!({
        "id": format!("00000000-0000-4000-8000-{second:012}"),
        "actor": { "name": learner, "account": { "homePage": "http://school.example", "name": learner.len().to_string() } },
        "verb": { "id": "http://adlnet.gov/expapi/verbs/scored" },
        "object": { "id": "http://school.example/units/1#attempt" },
        "result": { "success": true, "extensions": { RECORD: record.into() } },
        "stored": format!("2026-05-04T09:30:{second:02}.5Z"),
    })
}

fn about(lesson: &str, seed: u64, learner: &str, second: u32) -> Value {
    statement(serde_json::to_value(record(lesson, seed)).expect("JSON"), learner, second)
}

/// A statement of another kind.
fn other() -> Value {
    json!({
        "actor": { "mbox": "mailto:ida@school.example" },
        "verb": { "id": "http://adlnet.gov/expapi/verbs/initialized" },
        "object": { "id": "http://school.example/units/1" },
        "context": { "extensions": { RECORD: 5 } },
    })
}

fn grade(from: &str, lines: &[u8]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_nudgeproof"));
    command.args(["grade", from, "--json"]);
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().expect("it starts");
    // It may end before it has read all.
    let _ = child.stdin.take().expect("piped").write_all(lines);
    child.wait_with_output().expect("it ends")
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[track_caller]
fn graded(output: &Output, code: i32) -> Value {
    assert_eq!(output.status.code(), Some(code), "{}", said(output));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

fn file(name: &str, text: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("statements");
    fs::create_dir_all(&folder).expect("a folder");
    let path = folder.join(name);
    fs::write(&path, text).expect("written");
    path
}

/// Every column that a record fills, it fills from a statement too, however the statements come.
#[test]
fn statements_come_to_the_same_as_the_records_they_carry() {
    let done = [("one-touch", 12), ("what-follows", 16), ("when-it-goes-wrong", 24)];
    let book = RecordBook {
        learner: Some("Ida (3)".into()),
        records: done.iter().map(|(name, seed)| record(name, *seed)).collect(),
    };
    let records = file("records.json", &book.to_json());
    let of_records = graded(&grade(records.to_str().expect("UTF-8"), b""), 0);
    assert_eq!(of_records["learners"][0]["sessions"], 3, "{of_records}");
    assert_eq!(of_records["learners"][0]["best_score"], 100, "{of_records}");

    let told: Vec<Value> = (0..3).map(|n| about(done[n].0, done[n].1, "Ida", n as u32)).collect();
    let told = || told.iter().cloned().chain([other()]);
    let lines: Vec<_> = told().map(|statement| statement.to_string()).collect();
    let newest_first: Vec<_> = told().rev().collect();
    let page = json!({ "more": "", "statements": newest_first });
    for text in [
        lines.join("\n"),
        json!(newest_first).to_string(),
        page.to_string(),
        format!("{}\n{}", json!([other()]), page),
    ] {
        assert_eq!(graded(&grade("-", text.as_bytes()), 0), of_records, "{text}");
    }
    // A whole answer with line breaks, as a file.
    let path = file("page.json", &serde_json::to_string_pretty(&page).expect("JSON"));
    assert_eq!(graded(&grade(path.to_str().expect("UTF-8"), b""), 0), of_records);
    // The same twice is one attempt.
    let twice = format!("{page}\n{page}").replace("09:30", "10:30");
    assert_eq!(graded(&grade("-", format!("{page}\n{twice}").as_bytes()), 3), {
        let mut more = of_records.clone();
        more["left_out"] = 2.into();
        more["broken"] =
            graded(&grade("-", format!("{page}\n{twice}").as_bytes()), 3)["broken"].clone();
        more
    });
}

#[test]
fn whose_they_are_is_told_by_name_and_account() {
    let of = |actor: Value| {
        let mut one = about("one-touch", 12, "Ida", 0);
        one["actor"] = actor;
        one.to_string()
    };
    let account = |name: &str| json!({ "homePage": "http://school.example", "name": name });
    let lines = [
        of(json!({ "name": "Ida", "account": account("17") })),
        of(json!({ "name": "Ida", "account": account("18") })),
        of(json!({ "mbox": "mailto:otto@school.example" })),
        of(json!({ "openid": "http://school.example/mia" })),
        of(json!({ "mbox_sha1sum": "ebd31e95054c018b10727ccffd2ef2ec3a016ee9" })),
    ];
    let json = graded(&grade("-", lines.join("\n").as_bytes()), 0);
    let names: Vec<_> =
        json["learners"].as_array().expect("rows").iter().map(|l| &l["learner"]).collect();
    assert_eq!(
        names,
        [
            "Ida (17)",
            "Ida (18)",
            "ebd31e95054c018b10727ccffd2ef2ec3a016ee9",
            "http://school.example/mia",
            "otto@school.example",
        ]
    );
}

#[test]
fn what_comes_too_late_is_left_out_and_says_why() {
    let lines = [
        about("one-touch", 1, "Ida", 9),
        about("one-touch", 2, "Ida", 3),
        about("one-touch", 3, "Otto", 1),
    ];
    let output = grade("-", lines.map(|l| l.to_string()).join("\n").as_bytes());
    let json = graded(&output, 3);
    assert_eq!(json["left_out"], 1, "{json}");
    assert!(
        said(&output).contains(
            "line 2, statement 1: expected each learner's the oldest first (ascending=true"
        ),
        "{}",
        said(&output)
    );
}

/// What a store may hand out that is no statement of ours, or is meant to hurt.
#[test]
fn a_bad_statement_is_named_and_the_others_are_graded() {
    let good = || about("one-touch", 12, "Ida", 0);
    let with = |change: &dyn Fn(&mut Value)| {
        let mut one = good();
        change(&mut one);
        one
    };
    let in_record = |key: &'static str, value: Value| {
        with(&|s| s["result"]["extensions"][RECORD][key] = value.clone())
    };
    let bad = [
        (json!(5), "expected an object"),
        (json!("words"), "expected an object"),
        (with(&|s| s["result"] = json!([])), "result: expected an object"),
        (
            with(&|s| s["result"]["extensions"] = json!("none")),
            "result.extensions: expected an object",
        ),
        (
            with(&|s| s["result"]["extensions"][RECORD] = json!("none")),
            "its record: expected an object",
        ),
        (in_record("score", json!(-1)), "its record: score: expected a whole number"),
        (
            in_record("score", json!(101)),
            "its record: score: expected a whole number from 0 to 100",
        ),
        (in_record("score", json!("100")), "its record: score: expected a whole number"),
        (in_record("miss_mm", json!("1e999")), "its record: miss_mm: expected a number"),
        (in_record("lesson", json!(null)), "its record: lesson: expected text"),
        (in_record("trick", json!(1)), "its record: trick: unknown key `trick`"),
        (with(&|s| s["actor"] = json!(7)), "actor: expected an object"),
        (
            with(&|s| _ = s.as_object_mut().expect("an object").remove("actor")),
            "missing key `actor`",
        ),
        (
            with(&|s| s["actor"] = json!({ "name": "Ida", "member": [] })),
            "actor: expected an account, mbox, openid or mbox_sha1sum",
        ),
        (with(&|s| s["actor"]["account"]["name"] = json!(17)), "actor.account.name: expected text"),
        (
            with(&|s| s["actor"]["name"] = "x".repeat(1000).into()),
            "actor: a name holds at most 200 characters, not 1004",
        ),
        (with(&|s| s["stored"] = json!("yesterday")), "stored: expected a time such as"),
    ];
    let statements: Vec<_> =
        std::iter::once(good()).chain(bad.iter().map(|(s, _)| s.clone())).collect();
    let output = grade("-", json!({ "statements": statements }).to_string().as_bytes());
    let json = graded(&output, 3);
    assert_eq!(json["learners"][0]["sessions"], 1, "{json}");
    assert_eq!(json["left_out"], bad.len(), "{json}");
    let said = said(&output);
    let unsaid: Vec<_> = bad
        .iter()
        .enumerate()
        .map(|(n, (_, problem))| format!("left out: line 1, statement {}: {problem}", n + 2))
        .filter(|expected| !said.contains(expected))
        .collect();
    assert!(unsaid.is_empty(), "{unsaid:#?}\n{said}");
}

#[test]
fn what_is_no_answer_of_a_store_is_one_sentence() {
    let nested = "[".repeat(100_000);
    for (text, expected) in [
        (r#"{"statements": 5}"#.to_owned(), "statements: expected a list"),
        (r#"{"statements": [{]}"#.into(), "expected JSON"),
        (nested, "expected JSON"),
        (r#"{"verb": {"id": "x"}"#.into(), "expected JSON"),
        (json!([other()]).to_string(), "could use none"),
    ] {
        let output = grade("-", text.as_bytes());
        assert_eq!(output.status.code(), Some(2), "{}", said(&output));
        assert!(said(&output).contains(expected), "{expected}: {}", said(&output));
        assert!(said(&output).len() < 1000, "{}", said(&output));
    }
}

#[test]
fn names_in_statements_steer_neither_terminal_nor_spreadsheet() {
    let path = file(
        "names.json",
        &json!([
            about("one-touch", 1, "=cmd|'/c calc'!A0\u{1b}[2J", 0),
            about("one-touch", 1, "@Otto", 1)
        ])
        .to_string(),
    );
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("statements-out");
    let _ = fs::remove_dir_all(&out);
    let mut command = Command::new(env!("CARGO_BIN_EXE_nudgeproof"));
    let output = command.arg("grade").arg(&path).arg("--out").arg(&out).output().expect("it ends");
    assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    let csv = fs::read_to_string(out.join("grades.csv")).expect("written");
    assert!(csv.contains("\n'=cmd|'/c calc'!A0�[2J (21),"), "{csv}");
    assert!(csv.contains("\n'@Otto (5),"), "{csv}");
}

/// Sessions, records and statements stand side by side.
#[test]
fn a_session_and_its_statement_are_one_attempt() {
    let attempt = lesson("one-touch").expect("it is there").variant(12).expect("any seed");
    let mut session: Value =
        serde_json::from_str(&attempt.solved().expect("done").to_json()).expect("JSON");
    session["learner"] = "Ida (3)".into();
    let mut bench: Value =
        serde_json::from_str(&text_of(&format!("tests/cases/{AS_IT_SHOULD_BE}"))).expect("JSON");
    bench["learner"] = "Ida (3)".into();
    let lines = [session, about("one-touch", 12, "Ida", 0), bench];
    let json = graded(&grade("-", lines.map(|l| l.to_string()).join("\n").as_bytes()), 0);
    assert_eq!(json["learners"][0]["sessions"], 2, "{json}");
}

/// A store on this machine that hands out these answers, one for each request, and what it was asked.
fn store(answers: Vec<(&'static str, String)>) -> (String, thread::JoinHandle<Vec<String>>) {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = format!("http://{}", listener.local_addr().expect("it is bound"));
    let answer = move |stream: &TcpStream, status: &str, body: &str| {
        let mut asked = String::new();
        for line in BufReader::new(stream).lines().map_while(Result::ok) {
            if line.is_empty() {
                break;
            }
            asked += &(line + "\n");
        }
        let mut stream = stream;
        let length = body.len();
        // Who has heard enough may hang up.
        let _ = write!(
            stream,
            "HTTP/1.1 {status}\r\nContent-Length: {length}\r\nConnection: close\r\n\r\n{body}"
        );
        asked
    };
    let asked = thread::spawn(move || {
        let each = answers.iter().map(|(status, body)| {
            let (stream, _) = listener.accept().expect("it is asked");
            answer(&stream, status, body)
        });
        each.collect()
    });
    (address, asked)
}

fn grade_store(address: &str, key: Option<&str>) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_nudgeproof"));
    command.args(["grade", address, "--json"]).env_remove("NUDGEPROOF_STORE_KEY");
    for proxy in
        ["http_proxy", "HTTP_PROXY", "https_proxy", "HTTPS_PROXY", "all_proxy", "ALL_PROXY"]
    {
        command.env_remove(proxy);
    }
    if let Some(key) = key {
        command.env("NUDGEPROOF_STORE_KEY", key).env("NUDGEPROOF_STORE_SECRET", "secret");
    }
    command.output().expect("it ends")
}

#[test]
fn a_store_is_asked_page_by_page() {
    let page = |more: &str, statements: &[Value]| {
        ("200 OK", json!({ "more": more, "statements": statements }).to_string())
    };
    let pages = vec![
        page("/xapi/statements?more=2", &[about("one-touch", 1, "Ida", 0), other()]),
        page("", &[about("one-touch", 2, "Ida", 1)]),
    ];
    let (address, asked) = store(pages);
    let output = grade_store(&format!("{address}/xapi/statements?ascending=true"), Some("unit"));
    let json = graded(&output, 0);
    assert_eq!(json["learners"][0]["sessions"], 2, "{json}");
    let asked = asked.join().expect("it ends");
    assert!(asked[0].starts_with("GET /xapi/statements?ascending=true HTTP/1.1\n"), "{asked:?}");
    assert!(asked[1].starts_with("GET /xapi/statements?more=2 HTTP/1.1\n"), "{asked:?}");
    for asked in asked {
        let asked = asked.to_lowercase();
        // RFC 7617: the base64 of "unit:secret".
        assert!(asked.contains("authorization: basic dw5pddpzzwnyzxq=\n"), "{asked}");
        assert!(asked.contains("x-experience-api-version: 1.0.3\n"), "{asked}");
    }
}

#[test]
fn a_store_that_does_not_answer_as_it_should_is_one_sentence() {
    let elsewhere =
        json!({ "more": "http://elsewhere.example/statements", "statements": [] }).to_string();
    let wide = json!({ "more": "http://127.0.0.1.elsewhere.example/statements", "statements": [] })
        .to_string();
    for (status, body, expected) in [
        (
            "401 Unauthorized",
            String::new(),
            "expected the store to take NUDGEPROOF_STORE_KEY and NUDGEPROOF_STORE_SECRET, and it refused",
        ),
        ("302 Found", String::new(), "and it answered 302 Found"),
        ("500 Internal Server Error", String::new(), "and it answered 500"),
        ("200 OK", "<html>".into(), "line 1, column 1: expected JSON"),
        ("200 OK", "[]".into(), "expected an object"),
        (
            "200 OK",
            elsewhere,
            "expected more of the answer at the same store, and it names another",
        ),
        ("200 OK", wide, "expected more of the answer at the same store, and it names another"),
    ] {
        let (address, asked) = store(vec![(status, body)]);
        let output = grade_store(&format!("{address}/statements"), Some("unit"));
        assert_eq!(output.status.code(), Some(2), "{}", said(&output));
        assert!(said(&output).contains(expected), "{expected}: {}", said(&output));
        assert!(!said(&output).contains("secret"), "{}", said(&output));
        asked.join().expect("it ends");
    }
    for (address, key, expected) in [
        (
            "http://127.0.0.1:9/statements",
            None,
            "expected the key and the secret of the store in NUDGEPROOF_STORE_KEY and NUDGEPROOF_STORE_SECRET",
        ),
        (
            "http://127.0.0.1:9/xapi/",
            Some("unit"),
            "expected the address of a query, https://…/statements?…",
        ),
        // Nobody listens there (RFC 863).
        (
            "http://127.0.0.1:9/statements",
            Some("unit"),
            "expected the store to answer, and it did not",
        ),
    ] {
        let output = grade_store(address, key);
        assert_eq!(output.status.code(), Some(2), "{}", said(&output));
        assert!(said(&output).contains(expected), "{expected}: {}", said(&output));
    }
}
