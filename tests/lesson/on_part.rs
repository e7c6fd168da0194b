//! Lessons of the course on parts of one's own.

use nudgeproof::cell::{Draft, Part, Template, parts};
use nudgeproof::lesson::{Lesson, LessonFile, LessonKind, OnPartError, lesson, lesson_files};
use std::sync::Arc;

fn own(template: Template) -> Part {
    Draft::new(template, "Tram stop bench").part().expect("common values")
}

fn on(name: &str, part: &Part) -> Result<LessonFile, OnPartError> {
    lesson(name).expect("a lesson of the course").file().on_part(part)
}

#[test]
fn the_main_job_can_be_learned_on_every_kind_of_part_that_turns() {
    for template in Template::ALL {
        let part = own(*template);
        let file = on("slide-and-turn", &part).unwrap_or_else(|why| panic!("{template:?}: {why}"));
        assert_eq!(file.title, "Slide and turn: Tram stop bench");
        // What is written is the same lesson, and any other seed is an attempt on the same part.
        let read = Lesson::from_toml(&file.to_toml()).expect("a lesson file");
        assert_eq!(**read.file(), file);
        for seed in [file.seed, 7, 8] {
            let attempt = read.variant(seed).expect("an attempt");
            assert_eq!(attempt.start().header().part, part);
            let solved = attempt.solved().expect("its solution can be done");
            assert!(attempt.progress(&solved).finished(), "{template:?}, seed {seed}");
            assert_eq!(attempt.score(&solved).total, 100, "{template:?}, seed {seed}");
        }
    }
}

#[test]
fn what_cannot_be_done_on_a_part_is_refused_with_a_reason() {
    let part = own(Template::Rail);
    let mut refused = 0;
    for file in lesson_files() {
        match file.on_part(&part) {
            Ok(on_it) => assert!(Lesson::of_file(&Arc::new(on_it), 3).is_ok(), "{}", file.name),
            Err(OnPartError::Stage { stage, title }) => {
                assert_eq!(file.stages[stage - 1].title.is_empty(), title.is_empty());
                refused += 1;
            }
            Err(OnPartError::OnePart) => {
                assert!(
                    file.kind == LessonKind::Shift
                        || !file.solution.is_empty()
                        || !file.faults.is_empty()
                );
                refused += 1;
            }
            Err(OnPartError::Lesson(_)) => refused += 1,
        }
    }
    assert!((1..lesson_files().len()).contains(&refused), "{refused}");
}

#[test]
fn a_part_of_its_own_is_checked_where_it_stands() {
    let part = own(Template::Rail);
    let text = on("turn", &part).expect("it turns").to_toml();
    let why = |text: &str| Lesson::from_toml(text).expect_err("refused").to_string();
    let strange = text.replace("part = \"own-tram-stop-bench\"", "part = \"own-other\"");
    let said = why(&strange);
    assert!(said.contains("`part`") && said.contains("own-other"), "{said}");
    let known = parts().remove(0).name;
    let taken = text.replace("own-tram-stop-bench", &known);
    let said = why(&taken);
    assert!(said.contains("own part 1") && said.contains(&known), "{said}");
    let empty = text.replace("title = \"Tram stop bench\"", "title = \"\"");
    let said = why(&empty);
    assert!(said.contains("own part 1") && said.contains("title"), "{said}");
}
