//! Any bytes as a file that the page or the command line opens: taken or refused with a sentence, never a panic. What is
//! taken comes to the same when it is written and read once more.
#![no_main]

use libfuzzer_sys::fuzz_target;
use nudgeproof::cell::Part;
use nudgeproof::drawing::read_drawing;
use nudgeproof::io::from_file;
use nudgeproof::lesson::{ClassBook, Lesson, class_to_csv};
use nudgeproof::session::{HouseRules, Session, restored};

#[path = "../../../src/cli/grade/statements.rs"]
mod statements;

fuzz_target!(|bytes: &[u8]| {
    if let Err(problem) = read_drawing(bytes) {
        assert!(!problem.to_string().is_empty(), "an error says what is wrong");
    }
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    // Long runs are slow here, and `tests/routine/random.rs` has them.
    if let Ok(session) = Session::from_json(text) {
        let written = session.to_json();
        let again = Session::from_json(&written).expect("what was written can be read");
        assert_eq!(again.to_json(), written, "and is the same");
    }
    let mut class = ClassBook::default();
    class.add("file.json", text);
    class.add("again.json", text);
    let _ = class_to_csv(&class.rows());
    if let Some(Ok(told)) = statements::read(text) {
        for one in told {
            assert!(one.number > 0, "counted from 1");
            if let Ok(attempt) = one.attempt {
                assert!(!attempt.learner.is_empty(), "whose it is");
                class.add_graded(&attempt.file);
            }
        }
        let _ = class_to_csv(&class.rows());
    }
    let _ = statements::rest(text);
    let _ = restored(text.lines());
    for name in ["house.toml", "house.json"] {
        if let Ok(rules) = from_file::<HouseRules>(name, text) {
            let _ = rules.check();
        }
    }
    if let Ok(part) = Part::from_toml(text) {
        let again = Part::from_toml(&part.to_toml()).expect("what was written can be read");
        assert_eq!(again.to_toml(), part.to_toml(), "and is the same");
    }
    if let Err(problem) = Lesson::from_toml(text) {
        assert!(!problem.to_string().is_empty(), "an error says what is wrong");
    }
});
