//! A class: what the sessions and records of many learners come to.

use crate::support::{AS_IT_SHOULD_BE, HOME_RIDES_ALONG, REFERENCE_RETAKEN, session};
use nudgeproof::coach::{RuleName, Skill};
use nudgeproof::lesson::{
    ClassBook, ClassSummary, LessonRecord, RecordBook, class_to_csv, due, lesson,
};
use nudgeproof::session::Session;

fn by(learner: &str, case: &str) -> Session {
    let mut session = session(case);
    session.made_by(Some(learner.into()));
    session
}

/// A lesson done as it should be.
fn done(name: &str) -> Session {
    lesson(name).expect("a lesson").solved().expect("solved")
}

fn class(files: &[(&str, &Session)]) -> ClassBook {
    let mut class = ClassBook::default();
    for (file, session) in files {
        class.add(file, &session.to_json());
    }
    class
}

#[test]
fn each_learner_has_a_row_and_files_without_a_name_are_told_apart_by_theirs() {
    let (slip, good) = (by("Ida", HOME_RIDES_ALONG), by(" Ida ", AS_IT_SHOULD_BE));
    let nameless = session(AS_IT_SHOULD_BE);
    let class = class(&[("a.json", &slip), ("b.json", &good), ("late/otto.json", &nameless)]);
    let rows = class.rows();
    let names: Vec<_> = rows.iter().map(|row| row.learner.as_str()).collect();
    assert_eq!(names, ["Ida", "otto"]);
    assert_eq!((rows[0].sessions, rows[0].best_score, rows[0].landed), (2, 100, 2));
    assert_eq!(rows[0].findings[&RuleName::HomeFollowsPart], 1);
    assert_eq!(rows[0].skills[&Skill::KeepFrame].in_a_row, 1, "the slip began the row again");
}

#[test]
fn what_most_break_comes_first_and_its_skill_is_taught_next() {
    let (ida, eva) = (by("Ida", HOME_RIDES_ALONG), by("Eva", HOME_RIDES_ALONG));
    let otto = by("Otto", REFERENCE_RETAKEN);
    let summary = ClassSummary::of(&class(&[("1", &ida), ("2", &eva), ("3", &otto)]).rows());
    let broken = [(RuleName::HomeFollowsPart, 2), (RuleName::ReferenceRetakenOnMovedPart, 1)];
    assert_eq!(summary.most_broken, broken);
    assert_eq!(summary.mastered[&Skill::KeepFrame], 0);
    let next = summary.teach_next.expect("nobody has mastered anything");
    assert_eq!(next.skill, Skill::KeepFrame);
    assert!(lesson(&next.lessons[0]).expect("a lesson").rules.contains(&RuleName::HomeFollowsPart));
}

#[test]
fn a_record_counts_once_beside_the_session_it_tells_of() {
    let session = done("what-follows");
    let record = LessonRecord::of(lesson("what-follows").expect("a lesson"), &session, 20_000);
    let other = LessonRecord { lesson: "heights".into(), ..record.clone() };
    let book = RecordBook { learner: Some("Ida".into()), records: vec![record, other] };
    let mut class = ClassBook::default();
    let mut session = session;
    session.made_by(Some("Ida".into()));
    class.add("session.json", &session.to_json());
    class.add("record.json", &book.clone().to_json());
    let rows = class.rows();
    assert_eq!((rows.len(), rows[0].sessions), (1, 2), "what-follows and heights");
    assert!(rows[0].understanding.predictions.rows().iter().any(|(_, tally)| tally.said > 0));

    // Whichever comes first. Another session of the same attempt is an attempt more.
    let mut class = ClassBook::default();
    class.add("a.json", &book.clone().to_json());
    class.add("b.json", &session.to_json());
    assert_eq!(class.rows()[0].sessions, 2);
    class.add("c.json", &session.to_json());
    assert_eq!(class.rows()[0].sessions, 3);
    class.add("d.json", &book.to_json());
    assert_eq!(class.rows()[0].sessions, 3);
}

#[test]
fn files_that_cannot_be_read_are_listed_with_the_reason() {
    let mut class = class(&[("good.json", &session(AS_IT_SHOULD_BE))]);
    class.add("broken.json", "{ no session");
    class.add(
        "records.json",
        r#"{"format": "nudgeproof-records", "format_version": 9, "records": []}"#,
    );
    let broken: Vec<_> = class.broken().iter().map(|b| b.file.as_str()).collect();
    assert_eq!(broken, ["broken.json", "records.json"]);
    assert!(class.broken()[1].problem.contains("format_version"), "{:?}", class.broken());
    assert_eq!(class.rows().len(), 1);
}

#[test]
fn an_empty_class_has_no_rows_and_nothing_to_teach() {
    let class = ClassBook::default();
    assert_eq!(class.rows(), []);
    let summary = ClassSummary::of(&class.rows());
    assert_eq!((summary.most_broken, summary.teach_next), (vec![], None));
    assert_eq!(class_to_csv(&class.rows()).lines().count(), 1, "the heads");
}

#[test]
fn the_table_has_as_many_cells_in_each_row_and_no_formulas() {
    let (ida, otto) = (by("Ida, early shift", AS_IT_SHOULD_BE), by("=1+1", AS_IT_SHOULD_BE));
    let text = class_to_csv(&class(&[("1", &ida), ("2", &otto)]).rows());
    let mut table = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    let rows: Vec<_> = table.records().map(|row| row.expect("equally long")).collect();
    assert_eq!(rows.len(), 3);
    assert_eq!(&rows[1][0], "'=1+1");
    assert_eq!(&rows[2][0], "Ida, early shift");
}

/// A class sees the skills of a learner as the learner's own record has them, with the tasks of refreshers.
#[test]
fn a_class_sees_the_skills_of_a_record_as_the_learner_does() {
    let session = done("one-touch");
    let whole = LessonRecord::of(lesson("one-touch").expect("a lesson"), &session, 20_000);
    let stages = &lesson("slide-and-turn").expect("a lesson").stages;
    let writes = stages.iter().position(|s| s.skill() == Some(Skill::WriteRoutine));
    let item = format!("slide-and-turn#{}", writes.expect("a stage") + 1);
    let task = LessonRecord { lesson: item, ..whole.clone() };
    let records = vec![whole, task];
    let mut class = ClassBook::default();
    class.add("ida.json", &RecordBook::of(&records).to_json());
    let row = class.rows().remove(0);
    let mut in_a_row = Vec::new();
    for own in due(&records, 20_001) {
        let theirs = &row.skills[&own.skill];
        assert_eq!((theirs.in_a_row, theirs.parts), (own.in_a_row, own.parts), "{:?}", own.skill);
        in_a_row.push((own.skill, own.in_a_row));
    }
    in_a_row.sort_unstable();
    let all = [0, 1, 1, 1, 0, 0];
    assert_eq!(in_a_row, Skill::ALL.into_iter().zip(all).collect::<Vec<_>>());
}
