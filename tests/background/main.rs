//! Tasks for a worker: they go there and come back as JSON, and come to what the library comes to.

use nudgeproof::background::{Answer, Task};
use nudgeproof::cell::{Part, parts};
use nudgeproof::drawing::{Unit, report};
use nudgeproof::lesson::{LayoutChoice, best_layouts, rehearsed};
use nudgeproof::session::{Study, Tally};

/// As a page asks and a worker answers.
fn asked(task: &Task) -> Answer {
    let text = serde_json::to_string(task).expect("a task can be written");
    let task: Task = serde_json::from_str(&text).expect("a task can be read");
    let answer = serde_json::to_string(&task.done()).expect("an answer can be written");
    serde_json::from_str(&answer).expect("an answer can be read")
}

fn part() -> Part {
    parts().into_iter().next().expect("a part")
}

#[test]
fn a_study_shared_out_is_the_study() {
    let mut all = Tally::default();
    for [from, to] in [[60, 120], [0, 60], [120, 120]] {
        let Answer::Study(tally) = asked(&Task::Study { part: part(), seed: 7, from, to }) else {
            panic!("a study is answered by its tally");
        };
        all.merge(&tally);
    }
    let session = rehearsed(&part(), 7).expect("a routine");
    let study = Study::new(session.state(), 7).expect("a reference");
    assert_eq!(all, study.run(0..120));
}

#[test]
fn best_layouts_come_with_the_parts_own() {
    let kept_out = vec!["west".to_owned()];
    let Answer::Layouts { own, best } =
        asked(&Task::Layouts { part: part(), kept_out: kept_out.clone() })
    else {
        panic!("layouts are answered by layouts");
    };
    assert_eq!(own, LayoutChoice::of(&part()));
    assert_eq!(best, best_layouts(&part(), &kept_out));
}

#[test]
fn a_drawing_is_read_whatever_its_bytes() {
    let file = include_bytes!("../cases/drawings/good/two-units-r2010.dxf");
    for unit in [None, Some(Unit::Inch)] {
        let Answer::Drawing(read) = asked(&Task::drawing(file, unit)) else {
            panic!("a drawing is answered by its report");
        };
        assert_eq!(read, report(file, unit).expect("a drawing"));
    }
    for bad in [&b""[..], b"\xff\xfe\x00", b"<svg", b"hello"] {
        let why = report(bad, None).expect_err("no drawing").to_string();
        assert_eq!(asked(&Task::drawing(bad, None)), Answer::Refused(why));
    }
    let none = Task::Drawing { file: "no base64!".into(), unit: None };
    assert!(matches!(asked(&none), Answer::Refused(_)));
}
