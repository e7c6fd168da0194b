//! A function for each sentence of the table.

#![allow(clippy::must_use_candidate, reason = "each makes a sentence, and does nothing else")]

use super::english::every_sentence;
use super::keys::Key;
use super::sentence::{Sentence, Value, word};

macro_rules! functions {
    ($($key:ident($($value:ident),*): $text:literal,)*) => {
        $(
            #[doc = $text]
            pub(crate) fn $key($($value: impl Into<Value>),*) -> Sentence {
                Sentence::new(Key::$key, vec![$($value.into()),*])
            }
        )*
    };
}

every_sentence!(functions);

/// A body of a part, or a clamp, as its part calls it.
pub(crate) fn body(name: &str) -> Sentence {
    the(word(name))
}

/// Several things: "X, Y and turn".
pub(crate) fn all_of<V: Into<Value>>(things: impl IntoIterator<Item = V>) -> Value {
    joined(things, comma, and)
}

/// One of several things: "turns or tilts".
pub(crate) fn one_of<V: Into<Value>>(things: impl IntoIterator<Item = V>) -> Value {
    joined(things, comma, or)
}

/// Things one after the other, with commas.
pub(crate) fn listed<V: Into<Value>>(things: impl IntoIterator<Item = V>) -> Value {
    joined(things, comma, comma)
}

/// Things one after the other, with semicolons.
pub(crate) fn apart<V: Into<Value>>(things: impl IntoIterator<Item = V>) -> Value {
    joined(things, semicolon, semicolon)
}

type Join = fn(Value, Value) -> Sentence;

fn joined<V: Into<Value>>(
    things: impl IntoIterator<Item = V>,
    between: Join,
    before_last: Join,
) -> Value {
    let mut things: Vec<Value> = things.into_iter().map(Into::into).collect();
    let last = things.pop();
    let most = things.into_iter().reduce(|all, next| between(all, next).into());
    match (most, last) {
        (Some(most), Some(last)) => before_last(most, last).into(),
        (_, last) => last.unwrap_or_else(|| word("")),
    }
}

/// A sentence, and another one after it, if there is one.
pub(crate) fn then(first: Sentence, second: Option<Sentence>) -> Sentence {
    match second {
        Some(second) => two_sentences(first, second),
        None => first,
    }
}
