//! Every word of the project's own is explained before it is needed.

use crate::support::file;
use nudgeproof::lesson::{Ask, GLOSSARY_FILE, Glossary, glossary, lessons};
use nudgeproof::locate::Freedom;
use nudgeproof::text::Words;
use std::collections::BTreeSet;

#[test]
fn every_term_is_introduced_before_it_is_needed() {
    let words = glossary();
    let mut known = BTreeSet::new();
    let mut wrong = Vec::new();
    for lesson in lessons() {
        for (i, stage) in lesson.stages.iter().enumerate() {
            let reading = stage.reading();
            known.extend(words.introduced(&reading));
            let choices = stage.ask.iter().flat_map(Ask::choices);
            let read: Vec<String> =
                stage.hints.iter().cloned().chain(choices).chain([reading]).collect();
            for term in read.iter().flat_map(|text| words.used(text)).filter(|t| !known.contains(t))
            {
                wrong.push(format!("{}, stage {}: {}", lesson.name, i + 1, words.terms[term].term));
            }
        }
        // What the coach says of the mistakes that the lesson is about.
        for rule in &lesson.rules {
            let title = rule.title(Words::default());
            for term in words.used(&title).into_iter().filter(|t| !known.contains(t)) {
                wrong.push(format!("{}, {title:?}: {}", lesson.name, words.terms[term].term));
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

/// Bold is for a word that is introduced, and for what stands on the page.
#[test]
fn what_is_bold_is_a_term_or_stands_on_the_page() {
    let words = glossary();
    let terms: BTreeSet<String> = (words.terms.iter())
        .flat_map(|t| std::iter::once(&t.term).chain(&t.forms))
        .map(|form| form.to_lowercase())
        .collect();
    let page = std::fs::read_to_string(file("src/app/i18n/english.rs")).expect("the page's texts");
    let on_page: BTreeSet<&str> = page.split('"').skip(1).step_by(2).collect();
    let in_step: Vec<&str> = Freedom::ALL.map(Freedom::label).to_vec();
    let stands = |bold: &str| {
        let pieces = || bold.split([',', ' ']).filter(|p| !p.is_empty() && *p != "and");
        terms.contains(&bold.to_lowercase())
            || on_page.iter().any(|text| text.eq_ignore_ascii_case(bold))
            || pieces().all(|p| in_step.iter().any(|f| f.split(' ').any(|f| f == p)))
            // The details of the sheet, and the two states of a switch.
            || ["A", "B", "O", "on", "off"].contains(&bold)
    };
    let mut wrong = BTreeSet::new();
    for lesson in lessons() {
        for stage in &lesson.stages {
            for text in stage.hints.iter().chain([&stage.say]) {
                let choices = stage.ask.as_ref().map(Ask::choices).unwrap_or_default();
                let bold = text.split("**").skip(1).step_by(2);
                for bold in bold.filter(|bold| !stands(bold) && !choices.iter().any(|c| c == bold))
                {
                    wrong.insert(format!("{}: {bold}", lesson.name));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "bold, and neither a term nor on the page: {wrong:#?}");
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
