use super::fill::{fill, with_first};
use super::keys::{Key, RuleName, in_language};
use super::number::{Number, number};
use super::words::Words;
use serde::{Serialize, Serializer};
use std::fmt;

/// What is so: which sentence says it, and the values in it. It is written as text at the very end.
#[derive(Debug, Clone, PartialEq)]
pub struct Sentence {
    key: Key,
    values: Vec<Value>,
}

/// What a sentence says something of.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A number, with its unit.
    Number(Number),
    /// A name that a person gave to a point, a place or a face. It is written with marks, so that a
    /// point called "and" is not read as a word.
    Name(String),
    /// What a part or a file calls a thing: "seat rail".
    Word(String),
    /// The title of a rule, with a small letter where it does not begin a sentence.
    Title(RuleName),
    /// A part of a sentence.
    Clause(Box<Sentence>),
}

impl Sentence {
    /// With the values that the key has; the functions of `say` see to that.
    pub(super) fn new(key: Key, values: Vec<Value>) -> Self {
        Self { key, values }
    }

    /// Which sentence it is.
    pub fn key(&self) -> Key {
        self.key
    }

    /// Its values.
    pub fn values(&self) -> &[Value] {
        &self.values
    }

    /// The sentence as text.
    pub fn text(&self, words: Words) -> String {
        let names = self.key.names();
        let value = |name: &str| {
            let n = names.iter().position(|other| other.eq_ignore_ascii_case(name))?;
            Some(self.values.get(n)?.text(words))
        };
        fill(&self.key.template(words.language), words, value)
    }
}

impl Value {
    fn text(&self, words: Words) -> String {
        match self {
            Self::Number(number) => number.text(words),
            Self::Name(name) => format!("“{name}”"),
            Self::Word(word) => word.clone(),
            Self::Title(rule) => {
                with_first(&rule.title(words), |first| first.to_lowercase().collect())
            }
            Self::Clause(sentence) => sentence.text(words),
        }
    }
}

impl RuleName {
    /// The mistake in a few words.
    pub fn title(self, words: Words) -> String {
        plain(self.words().title, words)
    }

    /// What good practice asks, in one sentence.
    pub fn asks(self, words: Words) -> String {
        plain(self.words().asks, words)
    }

    /// The hints of level 1 (asks), 2 (points to the place) and 3 (says what to do).
    pub fn hints(self, words: Words) -> [String; 3] {
        self.words().hints.map(|hint| plain(hint, words))
    }
}

/// A text without values.
fn plain(template: &str, words: Words) -> String {
    fill(&in_language(template, words.language), words, |_| None)
}

/// What a part or a file calls a thing.
pub(crate) fn word(text: impl Into<String>) -> Value {
    Value::Word(text.into())
}

impl From<Sentence> for Value {
    fn from(sentence: Sentence) -> Self {
        Self::Clause(Box::new(sentence))
    }
}

impl From<Number> for Value {
    fn from(number: Number) -> Self {
        Self::Number(number)
    }
}

impl From<RuleName> for Value {
    fn from(rule: RuleName) -> Self {
        Self::Title(rule)
    }
}

impl From<&str> for Value {
    fn from(name: &str) -> Self {
        Self::Name(name.into())
    }
}

impl From<&String> for Value {
    fn from(name: &String) -> Self {
        Self::Name(name.clone())
    }
}

impl From<usize> for Value {
    fn from(count: usize) -> Self {
        Self::Number(number(count as f64, 0))
    }
}

impl fmt::Display for Sentence {
    /// Metric English.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text(Words::default()))
    }
}

impl fmt::Display for Value {
    /// Metric English.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text(Words::default()))
    }
}

impl Serialize for Sentence {
    /// As metric English.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}
