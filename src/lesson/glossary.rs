//! The glossary: the terms of the lessons, explained.

use super::file::Stage;
use crate::io::{TextError, from_toml};
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// The text of the glossary.
pub const GLOSSARY_FILE: &str = include_str!("../../lessons/glossary.toml");

/// A glossary.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Glossary {
    /// Every term, in alphabetical order.
    pub terms: Vec<Term>,
}

/// A term and its meaning.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Term {
    /// The word.
    pub term: String,
    /// Other forms of it that stand in texts.
    #[serde(default)]
    pub forms: Vec<String>,
    /// What it means, in a sentence.
    pub means: String,
}

static WORDS: LazyLock<Glossary> = LazyLock::new(|| {
    // A bug of the program; `tests/lesson/words.rs` reads the file.
    Glossary::from_toml(GLOSSARY_FILE).unwrap_or_else(|e| panic!("lessons/glossary.toml: {e}"))
});

/// The glossary that comes with the program.
pub fn glossary() -> &'static Glossary {
    &WORDS
}

impl Glossary {
    /// Reads a glossary with the keys of `lessons/glossary.toml`.
    ///
    /// # Errors
    /// What does not fit the format, and where.
    pub fn from_toml(text: &str) -> Result<Self, TextError> {
        from_toml(text)
    }

    /// Indices of the terms that a text uses.
    pub fn used(&self, text: &str) -> Vec<usize> {
        let plain = plain(text);
        let uses = |t: &Term| t.all().any(|form| stands_in(&plain, &form.to_ascii_lowercase()));
        (0..self.terms.len()).filter(|i| uses(&self.terms[*i])).collect()
    }

    /// Indices of the terms that a text introduces: in **bold**, or after *called*.
    pub fn introduced(&self, text: &str) -> Vec<usize> {
        let bold: Vec<String> = text.split("**").skip(1).step_by(2).map(plain).collect();
        let lower = plain(text);
        let introduces = |t: &Term| {
            t.all().any(|form| {
                let form = form.to_ascii_lowercase();
                bold.iter().any(|b| stands_in(b, &form))
                    || ["called ", "called the ", "called a ", "called an "]
                        .iter()
                        .any(|w| stands_in(&lower, &format!("{w}{form}")))
            })
        };
        (0..self.terms.len()).filter(|i| introduces(&self.terms[*i])).collect()
    }
}

impl Term {
    fn all(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.term.as_str()).chain(self.forms.iter().map(String::as_str))
    }
}

impl Stage {
    /// What a learner reads before or while doing the stage: title, text, question.
    pub fn reading(&self) -> String {
        let asked = self.ask.as_ref().map_or("", |a| a.text.as_str());
        format!("{}. {} {asked}", self.title, self.say)
    }
}

/// The text in lower case, without punctuation, words separated by one blank.
fn plain(text: &str) -> String {
    let clean: String = text
        .to_ascii_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() || c == '-' { c } else { ' ' })
        .collect();
    clean.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether the text contains these words as whole words.
fn stands_in(text: &str, words: &str) -> bool {
    text.match_indices(words).any(|(i, _)| {
        let before = text[..i].chars().next_back().is_none_or(|c| c == ' ');
        let after = text[i + words.len()..].chars().next().is_none_or(|c| c == ' ');
        before && after
    })
}
