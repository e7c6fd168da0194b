//! Sessions as they are stored while work goes on: what each change costs, and what comes back.

use crate::support::text_of;
use nudgeproof::cell::part_by_name;
use nudgeproof::geometry::Point3;
use nudgeproof::session::{Action, Header, Journal, Record, Session, restored};

fn empty() -> Session {
    let part = part_by_name("bench-side").expect("it comes with the program");
    Session::new(Header::new(part, 7)).expect("it can be set up")
}

fn teach(session: &mut Session, point: &str, x: f64) {
    let at = Point3::new(x, -100.0, 120.0);
    session.act(Action::Teach { point: point.into(), at }).expect("it can be taught");
}

/// Records as they are stored: those before a whole one go.
#[derive(Default)]
struct Stored {
    journal: Journal,
    records: Vec<Record>,
}

impl Stored {
    fn store(&mut self, session: &Session) {
        if let Some(record) = self.journal.record(session) {
            if record.whole {
                self.records.clear();
            }
            self.records.push(record);
        }
    }

    fn texts(&self) -> Vec<&str> {
        self.records.iter().map(|record| record.text.as_str()).collect()
    }

    #[track_caller]
    fn gives(&self, session: &Session) {
        let back = restored(self.texts());
        assert_eq!(back.left_out, None, "all of it can be read");
        let back = back.session.expect("it can be read");
        assert_eq!(back.to_json(), session.to_json(), "it is the same");
    }
}

#[test]
fn each_change_is_a_record_and_all_of_it_comes_back() {
    let (mut session, mut stored) = (empty(), Stored::default());
    stored.store(&session);
    stored.gives(&session);
    for n in 0..5 {
        teach(&mut session, &format!("p{n}"), f64::from(n));
        stored.store(&session);
        stored.gives(&session);
    }
    assert_eq!(stored.records.len(), 6);
    stored.store(&session);
    assert_eq!(stored.records.len(), 6, "nothing new, no record");
    session.undo();
    session.undo();
    stored.store(&session);
    stored.gives(&session);
    session.redo();
    stored.store(&session);
    stored.gives(&session);
    session.undo();
    teach(&mut session, "other", 50.0);
    stored.store(&session);
    stored.gives(&session);
    assert_eq!(stored.records.len(), 9);
}

#[test]
fn what_was_undone_and_done_in_another_way_between_two_records_comes_back_as_it_is() {
    let (mut session, mut stored) = (empty(), Stored::default());
    teach(&mut session, "home", 1.0);
    teach(&mut session, "west", 2.0);
    stored.store(&session);
    session.undo();
    session.undo();
    teach(&mut session, "home", 3.0);
    teach(&mut session, "west", 2.0);
    stored.store(&session);
    stored.gives(&session);
    assert!(!stored.records[1].whole, "only what is new");
}

#[test]
fn a_gesture_is_one_record_and_what_is_done_in_secret_stays_sealed() {
    let (mut session, mut stored) = (empty(), Stored::default());
    teach(&mut session, "home", 1.0);
    stored.store(&session);
    let fault = r#"{"action": "plant_in_secret", "fault": {"fault": "work-lead-off"}}"#;
    let secret: Action = serde_json::from_str(fault).expect("it is an action");
    let at = Point3::new(0.0, 0.0, 300.0);
    session.act_all([Action::MoveTorch { to: at }, secret]).expect("it can be done");
    stored.store(&session);
    stored.gives(&session);
    assert_eq!(stored.records.len(), 2);
    assert!(!stored.records[1].text.contains("work-lead"), "{}", stored.records[1].text);
    // Undo leaves what is secret, which comes to stand before what was taken back.
    session.undo();
    stored.store(&session);
    stored.gives(&session);
}

#[test]
fn another_session_begins_the_journal_anew_and_so_do_other_house_rules() {
    let (mut session, mut stored) = (empty(), Stored::default());
    teach(&mut session, "home", 1.0);
    stored.store(&session);
    let house = serde_json::from_str(r#"{"name": "Harbour"}"#).expect("they are house rules");
    session = session.under(Some(std::sync::Arc::new(house))).expect("it can be done again");
    stored.store(&session);
    assert!(stored.records[0].whole);
    stored.gives(&session);
    session = empty();
    stored.store(&session);
    assert_eq!(stored.records.len(), 1);
    stored.gives(&session);
}

#[test]
fn a_session_that_was_read_goes_on_after_its_records() {
    let (mut session, mut stored) = (empty(), Stored::default());
    teach(&mut session, "home", 1.0);
    stored.store(&session);
    let mut session = restored(stored.texts()).session.expect("it can be read");
    stored.journal = Journal::of(&session);
    stored.store(&session);
    assert_eq!(stored.records.len(), 1, "it is stored");
    session.undo();
    teach(&mut session, "home", 4.0);
    stored.store(&session);
    assert!(!stored.records[1].whole);
    stored.gives(&session);
}

#[test]
fn a_record_costs_the_same_in_a_long_session() {
    let cost = |actions: u32| {
        let (mut session, mut stored) = (empty(), Stored::default());
        for n in 0..actions {
            teach(&mut session, "home", f64::from(n % 10));
        }
        stored.store(&session);
        teach(&mut session, "west", 1.0);
        stored.store(&session);
        stored.records[1].text.len() - actions.to_string().len()
    };
    assert_eq!(cost(1000), cost(100));
}

/// A journal of `count` points, its records as texts.
fn points(count: u32) -> Vec<String> {
    let (mut session, mut stored) = (empty(), Stored::default());
    for n in 0..count {
        teach(&mut session, &format!("p{n}"), f64::from(n));
        stored.store(&session);
    }
    stored.texts().into_iter().map(str::to_owned).collect()
}

#[track_caller]
fn left_out(records: &[String], kept: usize, why: &str, rest: &str) {
    let back = restored(records.iter().map(String::as_str));
    let done = back.session.map_or(0, |session| session.actions().len());
    let (said, text) = back.left_out.expect("something cannot be read");
    assert_eq!((done, said.as_str()), (kept, why), "{records:?}");
    assert!(text.contains(rest), "{text}");
}

#[test]
fn of_a_damaged_journal_the_good_part_comes_back_and_the_rest_is_handed_out() {
    let good = points(5);
    let with = |n: usize, text: &str| {
        let mut records = good.clone();
        records[n] = text.into();
        records
    };
    left_out(
        &with(2, "\u{0}torn"),
        2,
        "record 3: expected a value: a number, text in quotes, true, false, null, `[` or `{`",
        "p4",
    );
    left_out(
        &with(2, r#"{"keep":9,"add":[]}"#),
        2,
        "record 3: key `keep`: expected 2 actions at most, and found 9",
        "p3",
    );
    left_out(
        &with(2, r#"{"keep":2,"add":["{"]}"#),
        2,
        "record 3: key `add[0]`: expected an action as JSON",
        "p4",
    );
    let cannot = r#"{"keep":2,"add":["{\"action\": \"resume\"}"]}"#;
    let why = "action 3 (resume): no run is paused";
    left_out(&with(2, cannot), 2, why, "\"resume\"");
    left_out(
        &with(0, r#"{"keep":0,"add":[]}"#),
        0,
        "record 1: expected the beginning of a session",
        "p1",
    );
    left_out(
        &with(0, &good[0].replace(r#""version":1"#, r#""version":2"#)),
        0,
        "record 1: key `version`: expected 1, and found 2",
        "p4",
    );
    left_out(
        &with(0, &good[0].replace("nudgeproof-session", "something else")),
        0,
        "key `format`: expected \"nudgeproof-session\", and found \"something else\"",
        "p4",
    );
}

#[test]
fn nothing_stored_is_no_session() {
    let back = restored([]);
    assert!(back.session.is_none());
    assert_eq!(back.left_out, None);
}

/// Each version of the records that ever landed still comes back.
#[test]
fn journals_of_every_version_come_back() {
    let text = text_of("tests/cases/journals/version-1.jsonl");
    let back = restored(text.lines());
    assert_eq!(back.left_out, None);
    let session = back.session.expect("it can be read");
    assert_eq!(session.actions().len(), 4);
    assert_eq!(session.header().seed, 20);
    assert!(session.state().routine.point("home").is_some());
    assert_eq!(session.state().routine.steps.len(), 1, "the second step was undone");
}
