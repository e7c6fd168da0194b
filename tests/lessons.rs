//! Every lesson that comes with the program can be read, learned from, and is listed; a broken one
//! says what is wrong in one sentence.

use nudgeproof::lesson::{LESSON_FILES, Lesson, LessonError};
use std::collections::BTreeSet;
use std::path::Path;

#[test]
fn every_lesson_is_sound() {
    for (file, text) in LESSON_FILES {
        let lesson = Lesson::from_toml(text).unwrap_or_else(|e| panic!("lessons/{file}: {e}"));
        assert_eq!(format!("{}.toml", lesson.name), *file, "a lesson is named after its file");
        lesson.prove().unwrap_or_else(|e| panic!("lessons/{file}: {e}"));
    }
}

#[test]
fn no_lesson_file_is_unlisted() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("lessons");
    let there: BTreeSet<_> = std::fs::read_dir(folder)
        .expect("the folder is there")
        .map(|e| e.expect("and can be read").file_name().to_string_lossy().into_owned())
        .filter(|n| n.ends_with(".toml"))
        .collect();
    let listed: BTreeSet<_> = LESSON_FILES.iter().map(|(f, _)| (*f).to_string()).collect();
    assert_eq!(there, listed, "files in lessons/ against the list in src/lesson/catalogue.rs");
}

/// The shipped lesson with one thing changed must be refused in these words.
#[track_caller]
fn refused(from: &str, to: &str, expected: &str) {
    let (_, text) = LESSON_FILES[0];
    assert!(text.contains(from), "the lesson has no {from:?} to change");
    let broken = text.replacen(from, to, 1);
    let error = match Lesson::from_toml(&broken) {
        Err(e) => e.to_string(),
        Ok(lesson) => match lesson.prove() {
            Err(e) => e.to_string(),
            Ok(()) => panic!("{from:?} -> {to:?} is taken for a sound lesson"),
        },
    };
    assert!(error.contains(expected), "expected {expected:?} in: {error}");
    assert!(!error.contains('\n'), "one sentence: {error}");
}

#[test]
fn a_broken_lesson_says_what_is_wrong_and_where() {
    refused("format_version = 1", "format_version = 9", "key `format_version`: expected 1");
    refused("title = \"Slide", "titel = \"Slide", "unknown field `titel`");
    refused("minutes = 12", "minutes = \"long\"", "line 6, column 11");
    refused("part = \"bench-side\"", "part = \"bench-seat\"", "expected one of bench-side");
    refused("[[stages]]", "[[stages", "line 1");
    refused("\"no-proof-run\"", "\"no-prove-run\"", "there is no rule named \"no-prove-run\"");
    refused("{ in_order = [\"home\"] }", "\"part_in_place\"", "starts with 1 of its stages done");
    refused("look_at = \"plan\"", "look_at = \"plane\"", "unknown variant `plane`");
    refused("to = \"home\"", "to = \"hoem\"", "solution");
    let all = LESSON_FILES[0].1;
    let short = all.rsplit_once("[[solution]]").expect("it has a solution").0;
    let lesson = Lesson::from_toml(short).expect("it can be read");
    let error = lesson.prove().expect_err("its last stage is not done").to_string();
    assert!(error.contains("ends before stage 13"), "{error}");
    assert!(matches!(Lesson::from_toml(""), Err(LessonError::Format { .. })), "an empty file");
}
