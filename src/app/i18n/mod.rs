//! The texts of the interface, by key. English is in `english.rs`; another language is one more
//! table of the same keys. A pseudo-language of longer texts shows where one would not fit.
//!
//! Templates, languages and units are those of `nudgeproof::text`, whose table has what the library says.

mod english;

use super::logic::number::{unit, units};
pub(crate) use english::Key;
pub(crate) use nudgeproof::text::Language;
use nudgeproof::text::{Piece, Sentence, Words, lengthen, pieces};
use std::cell::Cell;
use std::sync::OnceLock;

/// A part of a sentence: text, or a name that the learner gave.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Segment {
    Text(String),
    Name(String),
}

thread_local! {
    static LANGUAGE: Cell<Language> = const { Cell::new(Language::English) };
}

/// Chooses the language. Texts that are on screen already do not change.
pub(crate) fn set_language(language: Language) {
    LANGUAGE.set(language);
}

/// The text of a key.
pub(crate) fn text(key: Key) -> &'static str {
    match LANGUAGE.get() {
        Language::English => key.english(),
        Language::Long => {
            static LONG: [OnceLock<String>; Key::ALL.len()] =
                [const { OnceLock::new() }; Key::ALL.len()];
            LONG[key as usize].get_or_init(|| lengthen(key.english()))
        }
    }
}

/// What the library says, in the language and unit chosen.
pub(crate) fn say(sentence: &Sentence) -> String {
    sentence.text(words())
}

/// The language and the unit chosen.
pub(crate) fn words() -> Words {
    Words { language: LANGUAGE.get(), units: units() }
}

/// The text of a key with `{0}`, `{1}` … filled in, and `{u}` with the unit of lengths.
pub(crate) fn format(key: Key, fill: &[&str]) -> String {
    filled(text(key), fill).map(|(text, _)| text).collect()
}

/// The same, in parts: what was filled in is a name.
pub(crate) fn segments(key: Key, fill: &[&str]) -> Vec<Segment> {
    filled(text(key), fill)
        .filter(|(text, _)| !text.is_empty())
        .map(
            |(text, filled)| {
                if filled { Segment::Name(text.into()) } else { Segment::Text(text.into()) }
            },
        )
        .collect()
}

/// The parts of a template, and whether each was filled in.
fn filled<'a>(template: &'a str, fill: &'a [&'a str]) -> impl Iterator<Item = (&'a str, bool)> {
    pieces(template).map(move |piece| match piece {
        Piece::Text(text) => (text, false),
        Piece::Blank("u") => (unit(), false),
        Piece::Blank(number) => {
            let value = number.parse::<usize>().ok().and_then(|n| fill.get(n)).copied();
            debug_assert!(value.is_some(), "{template:?} is given {fill:?}");
            (value.unwrap_or_default(), true)
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blanks_are_filled_in_order() {
        let got: String = filled("from {1} to {0}.", &["a", "b"]).map(|(t, _)| t).collect();
        assert_eq!(got, "from b to a.", "by number");
    }

    #[test]
    fn names_are_kept_apart() {
        assert_eq!(
            segments(Key::StepFollow, &["part"]).last(),
            Some(&Segment::Name("part".into())),
            "the place is the learner's own name"
        );
    }

    #[test]
    fn a_text_of_the_longer_language_is_made_once() {
        set_language(Language::Long);
        let (first, again) = (text(Key::Undo), text(Key::Undo));
        set_language(Language::English);
        assert_eq!(first, "Undo~~", "longer");
        assert!(std::ptr::eq(first, again), "the same memory");
    }

    #[test]
    fn every_key_has_a_text() {
        for key in Key::ALL {
            let text = key.english();
            assert!(!text.trim().is_empty(), "{key:?} says nothing");
            assert!(!text.contains('\n'), "{key:?} is more than one line");
        }
        assert_eq!(Key::HelpTitle.english(), "Gestures and keys", "each its own");
    }
}
