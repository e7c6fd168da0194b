//! What is due when, and what a refresher is made of.

use crate::records::record;
use nudgeproof::cell::held_back_parts;
use nudgeproof::coach::Skill;
use nudgeproof::lesson::{
    LessonKind, LessonRecord, REFRESHER_ITEMS, REFRESHER_MINUTES, REVIEW_INTERVALS_DAYS,
    RecordBook, due, lesson, lesson_files, lessons, merge, of_session, refresher,
};
use nudgeproof::session::Session;

fn when(records: &[LessonRecord], today: u32, skill: Skill) -> u32 {
    due(records, today).into_iter().find(|d| d.skill == skill).expect("every skill").due
}

#[test]
fn a_skill_comes_back_after_a_day_a_week_a_month_and_three() {
    let name = "when-it-goes-wrong";
    let mut records = Vec::new();
    assert_eq!(when(&records, 100, Skill::FindFault), 100, "never practised: at once");
    let mut day = 100;
    for gap in [1, 7, 30, 90, 180, 180] {
        records.push(record(name, day, 100));
        assert_eq!(
            when(&records, day, Skill::FindFault),
            day + gap,
            "after {} passes",
            records.len()
        );
        day += gap;
    }
    assert_eq!(REVIEW_INTERVALS_DAYS[4], 180, "never later than half a year");
    records.push(record(name, day, 100));
    records.push(record(name, day, 40));
    assert_eq!(when(&records, day, Skill::FindFault), day, "a failed one is due at once");
    records.push(record(name, day + 1, 90));
    assert_eq!(when(&records, day + 1, Skill::FindFault), day + 2, "and begins again");
}

#[test]
fn what_is_due_and_weak_comes_first() {
    let all = due(&[record("when-it-goes-wrong", 10, 100)], 10);
    assert_eq!(all.len(), Skill::ALL.len(), "every skill");
    assert_eq!(all.last().expect("the last").skill, Skill::FindFault, "just practised: last");
    let later = due(&[record("when-it-goes-wrong", 10, 100)], 9);
    assert!(later.iter().all(|d| d.last.is_none()), "what comes after today does not count");
}

#[test]
fn a_refresher_is_short_mixed_and_can_be_done() {
    for seed in 0..4 {
        let records = [record("slide-and-turn", 1, 100), record("where-to-touch", 2, 60)];
        let round = refresher(&records, 30, seed);
        let names: Vec<_> = round.iter().map(|l| l.name.clone()).collect();
        assert_eq!(round.len(), REFRESHER_ITEMS, "{names:?}");
        let minutes: f64 =
            round.iter().map(|l| l.minutes_of(&l.solved().expect("it can be done"))).sum();
        assert!(minutes <= f64::from(REFRESHER_MINUTES), "{minutes} minutes: {names:?}");
        let mut skills: Vec<_> = round.iter().map(|l| l.stages[0].skill()).collect();
        skills.sort();
        skills.dedup();
        assert_eq!(skills.len(), REFRESHER_ITEMS, "as many skills as items: {names:?}");
        for item in &round {
            item.prove().unwrap_or_else(|e| panic!("{}: {e}", item.name));
            assert_eq!((item.kind, item.stages.len()), (LessonKind::Refresher, 1), "one stage");
            let file = item.start().to_json();
            let back = of_session(&Session::from_json(&file).expect("a session file"));
            let back = back.expect("it names its item");
            assert_eq!((&back.name, back.seed), (&item.name, item.seed), "known again");
        }
        let again: Vec<_> = refresher(&records, 30, seed).iter().map(|l| l.name.clone()).collect();
        assert_eq!(again, names, "the same records, day and seed");
    }
}

/// Its parts must be new in the lesson itself.
#[test]
fn a_refresher_takes_the_last_lesson_only_once_it_was_met() {
    let takes = |records: &[LessonRecord]| {
        let rounds = (0..40).map(|seed| refresher(records, 30, seed));
        let of_last = |l: &nudgeproof::lesson::Lesson| l.name.starts_with("unseen-part");
        rounds.flatten().filter(of_last).map(|l| l.part).collect::<Vec<_>>()
    };
    let others = lesson_files().filter(|l| l.name != "unseen-part");
    let mut records: Vec<_> = others.map(|l| record(&l.name, 29, 40)).collect();
    assert!(takes(&records).is_empty(), "not before");
    records.push(record("unseen-part", 29, 40));
    let drawn = takes(&records);
    assert!(!drawn.is_empty(), "then it comes back");
    let held_back: Vec<_> = held_back_parts().into_iter().map(|p| p.name).collect();
    assert!(drawn.iter().all(|part| held_back.contains(part)), "on such a part: {drawn:?}");
}

#[test]
fn a_record_is_kept_of_what_was_done_and_comes_back_from_its_file() {
    let drill = lesson("when-it-goes-wrong").expect("it is there").variant(3).expect("any seed");
    let solved = drill.solved().expect("it can be done");
    let of = LessonRecord::of(&drill, &solved, 20_000);
    assert_eq!((of.score, of.seed, of.attempt.landed), (100, 3, true), "done as it should be");
    assert!(of.miss_mm.is_some_and(|mm| mm.abs() <= 0.6), "its weld landed: {:?}", of.miss_mm);
    let mut helped = drill.start();
    for _ in 0..3 {
        let hint = drill.next_hint(&helped, 0).expect("three hints");
        helped.act(hint).expect("asked for");
    }
    assert!(drill.next_hint(&helped, 0).is_none(), "and no fourth");
    for action in &solved.actions()[drill.start_actions()..] {
        helped.act(action.clone()).expect("as it should be done");
    }
    let aided = LessonRecord::of(&drill, &helped, 20_001);
    assert_eq!(aided.attempt.aided, ["find_fault"], "shown, not found");
    assert_eq!(aided.score, 94, "1, 2 and 3 points for the hints");
    let mut all = vec![of.clone()];
    merge(&mut all, [aided, record("heights", 20_002, 70)]);
    assert_eq!(all.len(), 2, "the first record of an attempt stays");
    let text = RecordBook::of(&all).to_json();
    assert_eq!(
        RecordBook::from_json(&text).expect("its own file").records,
        all,
        "as it was written"
    );
}

#[test]
fn a_broken_file_of_records_says_where() {
    let good = RecordBook::of(&[record("heights", 1, 90)]).to_json();
    let refused = |text: &str, expected: &str| {
        let why = RecordBook::from_json(text).expect_err("it is broken").to_string();
        assert!(why.contains(expected) && !why.contains('\n'), "expected {expected:?} in: {why}");
    };
    refused("{", "line 1, column 1: expected JSON");
    refused(&good.replace("-records", "-session"), "key `format`");
    refused(&good.replace("version\": 1", "version\": 2"), "key `format_version`");
    refused(
        &good.replace("\"day\": 1", "\"day\": \"Monday\""),
        "records[0].day: expected a whole number from 0 to 4294967295, and found the text \"Monday\"",
    );
    refused(
        &good.replace("\"records\"", "\"record\""),
        "unknown key `record`, expected one of `format`, `format_version`, `learner`, `records`",
    );
}

#[test]
fn mastery_of_a_skill_is_judged_by_lessons_that_practise_it() {
    let mut records: Vec<_> = (1..=3).map(|day| record("slide-and-turn", day, 100)).collect();
    records[1].attempt.part = "bin-bracket".into();
    // A lesson without any weld of its own says nothing about writing a routine.
    records.push(record("reading-an-offset", 4, 40));
    let of = |skill| due(&records, 4).into_iter().find(|d| d.skill == skill).expect("every skill");
    let wrote = of(Skill::WriteRoutine);
    assert!(wrote.mastered && wrote.in_a_row == 3 && wrote.parts == 2, "{wrote:?}");
    assert_eq!(of(Skill::ReadResult).in_a_row, 0, "and here it failed");
}

#[test]
fn every_skill_is_practised_somewhere() {
    for skill in Skill::ALL {
        let n =
            lessons().iter().flat_map(|l| &l.stages).filter(|s| s.skill() == Some(skill)).count();
        assert!(n >= 2, "{}: {n} stages", skill.label());
    }
    assert!(lesson("slide-and-turn").is_some(), "the main job is there");
}
