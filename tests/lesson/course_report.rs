//! What a course system is told: worked out by hand from records.

use crate::records;
use nudgeproof::coach::{Attempt, Skill};
use nudgeproof::lesson::{
    CourseReport, Lesson, LessonRecord, PASS_SCORE, lesson_file, lesson_files,
};

/// Of the day 100, and always landed.
fn record(lesson: &str, seed: u64, score: u8) -> LessonRecord {
    let record = records::record(lesson, 100, score);
    let attempt = Attempt { landed: true, faults: false, ..record.attempt };
    LessonRecord { seed, attempt, ..record }
}

#[test]
fn before_the_first_lesson_there_is_no_score_and_every_skill_is_at_nothing() {
    let report = CourseReport::of(&[], None, 100);
    assert!(!report.passed && report.score.is_none(), "{report:?}");
    let names: Vec<_> = report.skills.iter().map(|skill| skill.name).collect();
    assert_eq!(names, Skill::ALL.map(Skill::name), "every skill, in its order");
    assert!(report.skills.iter().all(|skill| skill.score == 0 && !skill.passed), "{report:?}");
}

#[test]
fn the_course_is_passed_with_its_last_lesson_and_its_score_is_the_mean_of_the_best() {
    let names: Vec<_> = lesson_files().map(|lesson| lesson.name.clone()).collect();
    let (last, others) = names.split_last().expect("lessons");
    let mut records: Vec<_> = others.iter().map(|name| record(name, 1, 90)).collect();
    records.push(record(last, 1, 79));
    records.push(record("turn#3", 9, 100));
    let report = CourseReport::of(&records, None, 100);
    assert!(!report.passed, "79 is no pass");
    let by_hand = (90 * others.len() + 79) / names.len();
    assert_eq!(report.score.map(usize::from), Some(by_hand), "a task of a refresher is no lesson");
    records.push(record(last, 2, 80));
    records.push(record(last, 3, 10));
    let report = CourseReport::of(&records, None, 100);
    assert!(report.passed, "the best attempt counts: {report:?}");
    assert_eq!(report.score.map(usize::from), Some((90 * others.len() + 80) / names.len()));
}

#[test]
fn of_one_lesson_only_that_one_counts() {
    let records = [record("one-touch", 1, 100), record("turn", 1, 40)];
    let one = CourseReport::of(&records, Some("one-touch"), 100);
    assert!(one.passed && one.score == Some(100), "{one:?}");
    let turn = CourseReport::of(&records, Some("turn"), 100);
    assert!(!turn.passed && turn.score == Some(40), "{turn:?}");
    let none = CourseReport::of(&records, Some("two-faces"), 100);
    assert!(!none.passed && none.score.is_none(), "{none:?}");
}

#[test]
fn a_skill_rises_by_a_third_a_pass_up_to_mastery() {
    let score = |records: &[LessonRecord]| {
        let report = CourseReport::of(records, None, 100);
        let skill = report.skills.into_iter().find(|s| s.name == "run_reference");
        let skill = skill.expect("the skill");
        (skill.score, skill.passed)
    };
    let mut records = vec![record("one-touch", 1, 100)];
    assert_eq!(score(&records), (33, false));
    records.push(record("one-touch", 2, 100));
    assert_eq!(score(&records), (66, false));
    records.push(record("one-touch", 3, 100));
    assert_eq!(score(&records), (99, false), "mastery asks for a second part");
    records[2].attempt.part = "planter-base".into();
    assert_eq!(score(&records), (100, true));
}

#[test]
fn stages_are_told_as_far_as_they_are_done_with_their_answers() {
    let file = lesson_file("one-touch").expect("the lesson");
    let lesson = Lesson::of_file(file, 12).expect("an attempt");
    let solved = lesson.solved().expect("a solution");
    let (answers, stages) = (lesson.answers(&solved), lesson.stages.len());
    let all = lesson.stage_reports(stages, &answers);
    assert_eq!(all.iter().map(|s| s.number).collect::<Vec<_>>(), (1..=stages).collect::<Vec<_>>());
    let asked: Vec<_> = all.iter().filter(|stage| stage.answer.is_some()).collect();
    assert_eq!(asked.len(), answers.len(), "each question once");
    assert!(asked.iter().all(|stage| stage.right == Some(true)), "a solution answers rightly");
    assert_eq!(lesson.stage_reports(2, &answers), all[..2], "no stage that is still to come");
}

/// A course system passes at the score at which a lesson is passed: the packer knows nothing of the library.
#[test]
fn the_package_for_course_systems_asks_for_the_score_of_a_pass() {
    let packer = include_str!("../../src/pack/cmi5.rs");
    let asked = format!("const MASTERY: &str = \"{}\";", f64::from(PASS_SCORE) / 100.0);
    assert!(packer.contains(&asked), "{asked}");
}
