//! Every word of the interface, by key. English stands in `english.rs`; another language is one
//! more table of the same keys. A pseudo-long language shows where a longer one would not fit.

mod english;

use super::logic::number::unit;
pub(crate) use english::Key;
use std::borrow::Cow;
use std::cell::Cell;

/// A stretch of a sentence: plain, or a name the learner gave.
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
    /// English, every text half as long again: for testing the layout.
    Long,
}

thread_local! {
    static LANGUAGE: Cell<Language> = const { Cell::new(Language::English) };
}

/// Chooses the language; texts already on screen stay as they are.
pub(crate) fn speak(language: Language) {
    LANGUAGE.set(language);
}

/// The text of a key.
pub(crate) fn text(word: Key) -> &'static str {
    match LANGUAGE.get() {
        Language::English => word.english(),
        // Leaked on purpose: only ever in a layout test.
        Language::Long => Box::leak(lengthen(word.english()).into_boxed_str()),
    }
}

/// The text of a key with `{0}`, `{1}` … filled in, and `{u}` with the unit of lengths.
pub(crate) fn format(word: Key, fill: &[&str]) -> String {
    pieces(text(word), fill).map(|(text, _)| text).collect()
}

/// The same, with what was filled in kept apart.
pub(crate) fn segments(word: Key, fill: &[&str]) -> Vec<Segment> {
    pieces(text(word), fill)
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
            segments(Key::StepFollow, &["A"]).last(),
            Some(&Segment::Name("A".into())),
            "the offset is the learner's own name"
        );
    }

    #[test]
    fn a_longer_language_lengthens_each_word() {
        assert_eq!(lengthen("Probe {0} now"), "Probe~~~ {0} now~~", "but not what is filled in");
    }

    #[test]
    fn every_key_has_a_text() {
        for word in Key::ALL {
            let text = word.english();
            assert!(!text.trim().is_empty(), "{word:?} says nothing");
            assert!(!text.contains('\n'), "{word:?} is more than one line");
        }
        assert_eq!(Key::HelpTitle.english(), "Keys and gestures", "each its own");
    }
}
