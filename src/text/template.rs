//! Templates: texts with blanks in braces.
//!
//! `{face}` is the value of that name; `{Face}` begins with a capital letter. `{60 mm/s}` and
//! `{30 to 60 mm}` are lengths of the text itself, written in the unit of the reader.

/// A part of a template.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Piece<'t> {
    /// As it stands.
    Text(&'t str),
    /// What stands in a pair of braces.
    Blank(&'t str),
}

/// The parts of a template, in order.
pub fn pieces(template: &str) -> impl Iterator<Item = Piece<'_>> {
    template.split('{').enumerate().flat_map(|(i, chunk)| {
        let (blank, text) = match chunk.split_once('}') {
            Some((blank, text)) if i > 0 => (Some(Piece::Blank(blank)), text),
            _ => (None, chunk),
        };
        let text = (!text.is_empty()).then_some(Piece::Text(text));
        [blank, text].into_iter().flatten()
    })
}

/// Whether a template has each of these values, no other, and no length that is not in braces. A
/// constant, so that a wrong one does not compile.
pub(super) const fn fits(template: &str, values: &[&str]) -> bool {
    let text = template.as_bytes();
    let mut used = 0_u32;
    let mut i = 0;
    while i < text.len() {
        if text[i] == b'{' {
            let from = i + 1;
            while i < text.len() && text[i] != b'}' {
                i += 1;
            }
            if i == text.len() {
                return false;
            }
            if !text[from].is_ascii_digit() {
                let mut n = 0;
                while n < values.len() && !is_name(text, from, i, values[n].as_bytes()) {
                    n += 1;
                }
                if n == values.len() {
                    return false;
                }
                used |= 1 << n;
            }
        } else if is_unit(text, i) {
            return false;
        }
        i += 1;
    }
    used == (1 << values.len()) - 1
}

/// Whether a metric unit stands in a text at byte `i`.
const fn is_unit(text: &[u8], i: usize) -> bool {
    let here = i + 2 < text.len() && text[i] == b' ' && text[i + 1] == b'm' && text[i + 2] == b'm';
    here && (i + 3 == text.len() || !text[i + 3].is_ascii_alphabetic())
}

/// Whether bytes `from` to `to` of a text are this name; the first letter may be a capital.
const fn is_name(text: &[u8], from: usize, to: usize, name: &[u8]) -> bool {
    if to - from != name.len() || text[from].to_ascii_lowercase() != name[0] {
        return false;
    }
    let mut i = 1;
    while i < name.len() {
        if text[from + i] != name[i] {
            return false;
        }
        i += 1;
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_template_is_text_and_blanks() {
        use Piece::{Blank, Text};
        let all: Vec<_> = pieces("from {a} to {b}.").collect();
        assert_eq!(all, [Text("from "), Blank("a"), Text(" to "), Blank("b"), Text(".")]);
        assert_eq!(pieces("").count(), 0, "nothing");
        assert_eq!(pieces("{a}{b}").count(), 2, "no text between");
    }

    #[test]
    fn blanks_are_those_of_the_values() {
        assert!(fits("{Step} meets {face} within {15 mm}.", &["step", "face"]));
        assert!(!fits("{step} meets it", &["step", "face"]), "a value is left out");
        assert!(!fits("{step} meets {body}", &["step"]), "a blank without a value");
        assert!(!fits("{step", &["step"]), "never closed");
        assert!(!fits("{step} by 5 mm", &["step"]), "a length that stays metric");
    }
}
