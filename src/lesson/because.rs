//! Why the right answer to a question is right: one sentence, or one for each answer.

use serde::de::value::MapAccessDeserializer;
use serde::de::{Error, MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};
use std::collections::BTreeMap;
use std::fmt;

/// The key of the sentence for every answer that has none of its own.
pub(super) const ELSE: &str = "else";

/// Why the right answer is right.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Because {
    /// Whichever it is.
    Always(String),
    /// By the key of the answer; `else` stands for all that are not named.
    ByAnswer(BTreeMap<String, String>),
}

impl Because {
    /// The sentence for the answer with this key.
    pub(super) fn of(&self, key: &str) -> Option<&str> {
        match self {
            Self::Always(text) => Some(text),
            Self::ByAnswer(all) => all.get(key).or_else(|| all.get(ELSE)).map(String::as_str),
        }
    }

    /// Every sentence.
    pub(super) fn texts(&self) -> Vec<&String> {
        match self {
            Self::Always(text) => vec![text],
            Self::ByAnswer(all) => all.values().collect(),
        }
    }

    pub(super) fn texts_mut(&mut self) -> Vec<&mut String> {
        match self {
            Self::Always(text) => vec![text],
            Self::ByAnswer(all) => all.values_mut().collect(),
        }
    }

    /// Number of words that a learner reads: of the longest sentence.
    pub(super) fn words(&self) -> usize {
        let count = |text: &&String| text.split_whitespace().count();
        self.texts().iter().map(count).max().unwrap_or(0)
    }
}

/// By hand, since serde's own reader of an untagged enum loses the place of an error.
impl<'de> Deserialize<'de> for Because {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Sentences;
        impl<'de> Visitor<'de> for Sentences {
            type Value = Because;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a sentence, or a table with a sentence for each answer")
            }

            fn visit_str<E: Error>(self, text: &str) -> Result<Because, E> {
                Ok(Because::Always(text.to_owned()))
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Because, A::Error> {
                Deserialize::deserialize(MapAccessDeserializer::new(map)).map(Because::ByAnswer)
            }
        }
        deserializer.deserialize_any(Sentences)
    }
}
