//! The test before the course and the one after it: the same skills, other parts, nothing told, and what it
//! comes to in record, table and class.

use nudgeproof::cell::held_back_parts;
use nudgeproof::coach::Skill;
use nudgeproof::lesson::{
    ClassBook, ClassSummary, Lesson, LessonKind, LessonRecord, RecordBook, TEST_ITEMS, TestResult,
    TestTime, class_to_csv, course_test, due, lesson_files, of_session, test_result,
};
use nudgeproof::session::{Action, Session};
use std::collections::{BTreeMap, BTreeSet};

const SEEDS: [u64; 5] = [1, 2, 7, 20_420_000_123, 20_420_999_999];

fn skills(test: &[Lesson]) -> BTreeMap<Skill, usize> {
    let mut counts = BTreeMap::new();
    for item in test {
        *counts.entry(item.stages[0].skill().expect("a skill")).or_default() += 1;
    }
    counts
}

/// The task done as it should be, or with another answer.
fn done(item: &Lesson, rightly: bool) -> Session {
    let solved = item.solved().expect("it can be done");
    let mut session = item.start();
    let choices = item.stages[0].ask.as_ref().expect("a question").choices().len();
    for action in &solved.actions()[item.start_actions()..] {
        let action = match action {
            Action::Predict { stage, answer, certainty } if !rightly => {
                let (stage, certainty) = (*stage, *certainty);
                Action::Predict { stage, answer: answer % choices + 1, certainty }
            }
            other => other.clone(),
        };
        session.act(action).expect("it can be done");
    }
    session
}

#[test]
fn both_tests_ask_for_the_same_skills_on_parts_that_their_lessons_do_not_draw() {
    let (mut parts, held_back) = (BTreeSet::new(), held_back_parts());
    for seed in SEEDS {
        let [before, after] = TestTime::ALL.map(|time| {
            course_test(time, seed + u64::from(time == TestTime::After)).collect::<Vec<_>>()
        });
        assert_eq!(skills(&before), skills(&after), "seed {seed}");
        assert!(skills(&before).len() >= 4, "seed {seed}: {:?}", skills(&before));
        for item in before.iter().chain(&after) {
            let name = &item.name;
            assert_eq!((item.kind, item.stages.len()), (LessonKind::Test, 1), "{name}");
            let from = lesson_files().find(|f| name.contains(&format!("/{}#", f.name)));
            let from = from.expect("a lesson of the course");
            assert!(item.part != from.part && !from.other_parts.contains(&item.part), "{name}");
            assert!(
                held_back.iter().all(|part| part.name != item.part),
                "{name}: kept for the last lesson"
            );
            parts.insert(item.part.clone());
        }
        let names: BTreeSet<_> = before.iter().map(|l| l.name.split('#').next()).collect();
        assert_eq!((before.len(), names.len()), (TEST_ITEMS, TEST_ITEMS), "no lesson twice");
    }
    assert!(parts.len() >= 2, "only {parts:?}");
}

#[test]
fn a_task_counts_by_its_answer_alone_and_comes_back_from_its_file() {
    for item in course_test(TestTime::Before, 3) {
        let (right, wrong) = (done(&item, true), done(&item, false));
        assert!(item.progress(&wrong).finished(), "{}: answered", item.name);
        assert_eq!(item.score(&right).total, 100, "{}", item.name);
        assert_eq!(item.score(&wrong).total, 0, "{}: a prediction counts too", item.name);
        assert_eq!(item.score(&item.start()).total, 0, "{}: left out", item.name);
        let back = Session::from_json(&right.to_json()).expect("its own file");
        let again = of_session(&back).expect("it names its task");
        assert_eq!(
            (&again.name, again.seed, again.kind),
            (&item.name, item.seed, LessonKind::Test)
        );
        assert_eq!(again.stages, item.stages, "the same task");
    }
}

#[test]
fn a_test_takes_a_quarter_of_an_hour_at_most() {
    for seed in SEEDS {
        let minutes: f64 = course_test(TestTime::After, seed)
            .map(|item| item.minutes_of(&item.solved().expect("it can be done")))
            .sum();
        assert!(minutes <= 15.0, "seed {seed}: {minutes} minutes");
    }
}

#[test]
fn the_first_test_of_each_time_stands_in_record_table_and_class() {
    let test = |time, seed, right: usize| {
        let record = move |(n, item): (usize, Lesson)| {
            LessonRecord::of(&item, &done(&item, n < right), 20_420)
        };
        course_test(time, seed).enumerate().map(record).collect::<Vec<_>>()
    };
    let mut records = test(TestTime::Before, 11, 1);
    assert_eq!(test_result(&records, TestTime::After), None, "not taken yet");
    records.extend(test(TestTime::After, 12, 5));
    records.extend(test(TestTime::After, 13, 6));
    let of = TEST_ITEMS;
    assert_eq!(test_result(&records, TestTime::Before), Some(TestResult { right: 1, of }));
    let after = TestResult { right: 5, of };
    assert_eq!(
        test_result(&records, TestTime::After),
        Some(after),
        "the first one: later the tasks are known"
    );
    assert!(due(&records, 20_420).iter().all(|d| d.last.is_none()), "a test is no practice");

    let mut class = ClassBook::default();
    class.add("anna.json", &RecordBook { learner: Some("Anna".into()), records }.to_json());
    let rows = class.rows();
    assert_eq!((rows[0].sessions, rows[0].test_after), (0, Some(after)), "beside the lessons");
    let csv = class_to_csv(&rows);
    let lines: Vec<Vec<_>> = csv.lines().map(|line| line.split(',').collect()).collect();
    let column = lines[0].iter().position(|head| *head == "test_before").expect("a column");
    assert_eq!(lines[1][column..column + 2], ["1 of 6", "5 of 6"], "{csv}");
    let summary = ClassSummary::of(&rows);
    assert_eq!(summary.test_after, after, "and the class as a whole");
}

#[test]
fn a_name_that_is_no_task_is_none() {
    for name in
        ["before/turn", "before/turn#99@bin-door", "during/turn#6@bin-door", "after/turn#6@nothing"]
    {
        assert!(nudgeproof::lesson::attempt(name, 3, &[]).is_none(), "{name}");
    }
}
