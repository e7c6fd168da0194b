use super::number::plain;
use super::template::{Piece, pieces};
use super::units::Quantity;
use super::words::Words;

/// A template as text: its own lengths in the unit chosen, values by their names.
pub(super) fn fill(template: &str, words: Words, value: impl Fn(&str) -> Option<String>) -> String {
    let mut out = String::new();
    for piece in pieces(template) {
        match piece {
            Piece::Text(text) => out += text,
            Piece::Blank(blank) if blank.starts_with(|c: char| c.is_ascii_digit()) => {
                out += &own_length(blank, words);
            }
            Piece::Blank(blank) => {
                let text = value(blank).unwrap_or_default();
                let capital = blank.starts_with(|c: char| c.is_ascii_uppercase());
                out += &if capital { capitalised(&text) } else { text };
            }
        }
    }
    out
}

fn capitalised(text: &str) -> String {
    with_first(text, |first| first.to_uppercase().collect())
}

/// A text with another first letter.
pub(super) fn with_first(text: &str, change: fn(char) -> String) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| change(first) + letters.as_str())
}

/// A length that a text has of its own: "60 mm/s", "30 to 60 mm".
fn own_length(text: &str, words: Words) -> String {
    let (numbers, unit) = text.rsplit_once(' ').unwrap_or((text, ""));
    let quantity = if unit.ends_with("/s") { Quantity::Speed } else { Quantity::Length };
    let shown = |word: &str| {
        let decimals = word.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        let value: f64 = word.parse().ok()?;
        let (value, decimals) = quantity.shown(value, decimals, words.units);
        Some(plain(value, decimals))
    };
    let numbers: Vec<_> =
        numbers.split(' ').map(|word| shown(word).unwrap_or_else(|| word.to_owned())).collect();
    numbers.join(" ") + &quantity.unit(words.units).concat()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::units::Units;

    #[test]
    fn a_text_is_filled_by_name_and_its_lengths_are_in_the_unit_chosen() {
        let value = |name: &str| (name.eq_ignore_ascii_case("who")).then(|| "the wire".to_owned());
        let inches = Words { units: Units::Inches, ..Words::default() };
        let text = "{Who} stands {60 mm/s} and {0.5 to 60 mm}.";
        assert_eq!(
            fill(text, Words::default(), value),
            "The wire stands 60 mm/s and 0.5 to 60 mm."
        );
        assert_eq!(fill(text, inches, value), "The wire stands 2.36 in/s and 0.020 to 2.36 in.");
    }
}
