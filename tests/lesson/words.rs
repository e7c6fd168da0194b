//! Every word of the project's own is explained before it is needed.

use nudgeproof::lesson::{GLOSSARY_FILE, Glossary, glossary, lessons};
use std::collections::BTreeSet;

#[test]
fn every_term_is_introduced_before_it_is_needed() {
    let words = glossary();
    let mut known = BTreeSet::new();
    let mut wrong = Vec::new();
    for lesson in lessons() {
        for (i, stage) in lesson.stages.iter().enumerate() {
            let text = stage.reading();
            known.extend(words.introduced(&text));
            for term in words.used(&text).into_iter().filter(|t| !known.contains(t)) {
                wrong.push(format!("{}, stage {}: {}", lesson.name, i + 1, words.terms[term].term));
            }
        }
    }
    assert!(wrong.is_empty(), "used before they are introduced:\n{}", wrong.join("\n"));
    let never: Vec<_> = (0..words.terms.len())
        .filter(|t| !known.contains(t))
        .map(|t| &words.terms[t].term)
        .collect();
    assert!(never.is_empty(), "in the glossary, and in no lesson: {never:?}");
}

#[test]
fn the_glossary_is_read_and_sorted() {
    let words = Glossary::from_toml(GLOSSARY_FILE).expect("it can be read");
    assert!(words.terms.len() > 30, "only {} terms", words.terms.len());
    let names: Vec<_> = words.terms.iter().map(|t| t.term.clone()).collect();
    let mut sorted = names.clone();
    sorted.sort();
    assert_eq!(names, sorted, "in alphabetical order, each once");
    assert!(Glossary::from_toml("[[terms]]\nterm = 3").is_err(), "a number is no term");
}

/// The check itself.
#[test]
fn a_term_counts_as_introduced_in_bold_or_after_called() {
    let words = glossary();
    let one = |name: &str| words.terms.iter().position(|t| t.term == name).expect("a term");
    let (home, touch) = (one("home"), one("touch"));
    assert_eq!(words.introduced("A safe place. It is called home."), [home], "called");
    assert_eq!(words.introduced("Then come the **touches**."), [touch], "a form of it, in bold");
    assert_eq!(words.introduced("Take it home."), Vec::<usize>::new(), "only used");
    assert!(words.used("Homely touching.").is_empty(), "whole words only");
}

/// A report, no law: `cargo test --test lesson -- --ignored --nocapture sentence_lengths`.
#[test]
#[ignore = "a report of the lengths of sentences"]
fn sentence_lengths() {
    let mut all = Vec::new();
    for lesson in lessons() {
        for stage in &lesson.stages {
            for (key, text) in stage.texts().filter(|(key, _)| *key != "title" && *key != "hints") {
                for sentence in text.split(['.', '?', '!', ':']).filter(|s| s.contains(' ')) {
                    let words = sentence.split_whitespace().count();
                    all.push((words, format!("{}, {key}: {}", lesson.name, sentence.trim())));
                }
            }
        }
    }
    all.sort();
    let average = all.iter().map(|(words, _)| words).sum::<usize>() as f64 / all.len() as f64;
    println!("{} sentences, {average:.1} words on average; the longest:", all.len());
    for (words, sentence) in all.iter().rev().take(20) {
        println!("{words:4} {sentence}");
    }
}
