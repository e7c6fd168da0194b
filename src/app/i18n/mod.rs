//! The texts of the interface, by key. English is in `english.rs`; another language is one more
//! table of the same keys. A pseudo-language of longer texts shows where one would not fit.

mod english;

use super::logic::number::unit;
pub(crate) use english::Key;
use std::borrow::Cow;
use std::cell::Cell;
use std::sync::OnceLock;

/// A part of a sentence: text, or a name that the learner gave.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Segment {
    Text(String),
    Name(String),
}

/// A language of the interface.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Language {
    #[default]
    English,
    /// English with every word half as long again, to test the layout.
    Long,
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

/// The text of a key with `{0}`, `{1}` … filled in, and `{u}` with the unit of lengths.
pub(crate) fn format(key: Key, fill: &[&str]) -> String {
    pieces(text(key), fill).map(|(text, _)| text).collect()
}

/// The same, in parts: what was filled in is a name.
pub(crate) fn segments(key: Key, fill: &[&str]) -> Vec<Segment> {
    pieces(text(key), fill)
        .filter(|(text, _)| !text.is_empty())
        .map(
            |(text, filled)| {
                if filled { Segment::Name(text.into()) } else { Segment::Text(text.into()) }
            },
        )
        .collect()
}

fn pieces<'a>(
    template: &'a str,
    fill: &'a [&'a str],
) -> impl Iterator<Item = (Cow<'a, str>, bool)> {
    template.split('{').enumerate().flat_map(move |(i, chunk)| {
        if i == 0 {
            return vec![(Cow::Borrowed(chunk), false)];
        }
        match chunk.split_once('}') {
            Some((n, rest)) => {
                if n == "u" {
                    return vec![(Cow::Borrowed(unit()), false), (Cow::Borrowed(rest), false)];
                }
                let value = n.parse::<usize>().ok().and_then(|n| fill.get(n)).copied();
                vec![(Cow::Borrowed(value.unwrap_or("")), true), (Cow::Borrowed(rest), false)]
            }
            None => vec![(Cow::Borrowed(chunk), false)],
        }
    })
}

fn lengthen(text: &str) -> String {
    // What is filled in is not longer in another language.
    let word = |w: &str| {
        let extra = if w.contains('{') { 0 } else { w.chars().count().div_ceil(2) };
        w.to_owned() + &"~".repeat(extra)
    };
    text.split(' ').map(word).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blanks_are_filled_in_order() {
        let got: String = pieces("from {1} to {0}.", &["a", "b"]).map(|(t, _)| t).collect();
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
    fn a_longer_language_lengthens_each_word() {
        assert_eq!(lengthen("Touch {0} now"), "Touch~~~ {0} now~~", "but not what is filled in");
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
        assert_eq!(Key::HelpTitle.english(), "Keys and gestures", "each its own");
    }
}
