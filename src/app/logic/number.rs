//! Every number of the page is written here: lengths in the unit the viewer chose, the rest as it is.
//! Files and the program itself stay metric.

pub(crate) use nudgeproof::text::{plain, signed};

use nudgeproof::text::{self, Units};
use std::cell::Cell;

thread_local! {
    static UNITS: Cell<Units> = const { Cell::new(Units::Metric) };
}

/// Chooses the unit of lengths; what is on screen already stays as it is.
pub(crate) fn show_inches(on: bool) {
    UNITS.set(if on { Units::Inches } else { Units::Metric });
}

/// The unit lengths are shown in.
pub(crate) fn units() -> Units {
    UNITS.get()
}

/// Whether lengths are shown in inches.
pub(crate) fn inches() -> bool {
    units() == Units::Inches
}

/// The name of the unit lengths are shown in.
pub(crate) fn unit() -> &'static str {
    units().length()
}

/// How many mm one unit on screen is.
pub(crate) fn unit_mm() -> f64 {
    units().mm()
}

/// A length, given in mm, as it is shown, without its unit.
pub(crate) fn length(mm: f64, decimals: usize) -> String {
    let (shown, decimals) = text::Quantity::Length.shown(mm, decimals, units());
    plain(shown, decimals)
}

/// The same with a plus sign where it is positive.
pub(crate) fn signed_length(mm: f64, decimals: usize) -> String {
    let (shown, decimals) = text::Quantity::Length.shown(mm, decimals, units());
    signed(shown, decimals)
}

/// A length with its unit.
pub(crate) fn length_unit(mm: f64, decimals: usize) -> String {
    format!("{} {}", length(mm, decimals), unit())
}

/// What a number field holds: decides the unit that it shows and takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Quantity {
    /// mm inside the program.
    Length,
    /// mm/s inside the program.
    Speed,
    /// Degrees, here and on screen.
    Angle,
}

impl Quantity {
    /// The unit shown.
    pub(crate) fn unit(self) -> String {
        match self {
            Self::Length => unit().to_owned(),
            Self::Speed => units().speed().to_owned(),
            Self::Angle => "°".to_owned(),
        }
    }

    /// The value as it is shown, without its unit; `decimals` are those of a metric value.
    pub(crate) fn show(self, value: f64, decimals: usize) -> String {
        match self {
            Self::Length | Self::Speed => length(value, decimals),
            Self::Angle => plain(value, decimals),
        }
    }

    /// The value inside the program of a number in the unit shown.
    pub(crate) fn metric(self, shown: f64) -> f64 {
        match self {
            Self::Length | Self::Speed => shown * unit_mm(),
            Self::Angle => shown,
        }
    }

    /// Change of the value by an arrow key, from the change of a metric value: in inches a round
    /// figure, 0.05 in for 1 mm.
    pub(crate) fn key_step(self, step: f64) -> f64 {
        match self {
            Self::Length | Self::Speed if inches() => step * 0.05 * unit_mm(),
            _ => step,
        }
    }
}

/// The prose of a lesson or of a rule's page, written in millimetres, in the unit chosen: `20 to
/// 60 mm/s` becomes `0.79 to 2.36 in/s`. Sentences of the library hold their lengths as values.
pub(crate) fn in_unit(text: &str) -> String {
    if !inches() {
        return text.to_owned();
    }
    let mut pieces = text.split(" mm");
    let mut out = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        match last_length(&out) {
            Some(shown) => out = shown + " in",
            None => out += " mm",
        }
        out += piece;
    }
    out
}

/// The text with the number at its end, and the one it goes up from, in the unit chosen.
fn last_length(text: &str) -> Option<String> {
    let head = text.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.');
    let number = &text[head.len()..];
    let decimals = number.split_once('.').map_or(0, |(_, d)| d.len());
    let from = head.strip_suffix(" to ").and_then(last_length).map(|from| from + " to ");
    Some(from.unwrap_or_else(|| head.to_owned()) + &length(read(number)?, decimals))
}

/// Reads what a person typed: either minus sign, point or comma.
pub(crate) fn read(text: &str) -> Option<f64> {
    let plain = text.trim().replace('−', "-").replace(',', ".");
    plain.parse().ok().filter(|value: &f64| value.is_finite())
}

/// The size of letters, pixels, at which a text is no wider than `room`, at most `most`.
/// A letter of the widest face we meet is about 0.62 of its size wide.
pub(crate) fn letters(text: &str, room: f64, most: f64) -> f64 {
    let n = text.chars().count().max(1) as f64;
    (room / (n * 0.56)).clamp(LEAST_LETTERS, most)
}

/// Letters smaller than this are not read, pixels.
const LEAST_LETTERS: f64 = 10.0;

/// The text in letters of that size; its end is left out where it would still be wider than `room`.
pub(crate) fn lettered(text: &str, room: f64, most: f64) -> (String, f64) {
    let size = letters(text, room, most);
    // A narrow face, as the sheet has, is about half its size wide.
    let fit = (room / (size * 0.5)) as usize;
    if text.chars().count() <= fit {
        return (text.to_owned(), size);
    }
    let kept: String = text.chars().take(fit.saturating_sub(1)).collect();
    (format!("{}…", kept.trim_end()), size)
}

/// A time on the time line.
pub(crate) fn seconds(t: f64) -> String {
    format!("{t:.1} s")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_written_for_people() {
        assert_eq!(length(-4.0, 1), "−4.0", "true minus");
        assert_eq!(length(-0.001, 2), "0.00", "no minus zero");
        assert_eq!(signed(0.25, 2), "+0.25", "plus");
        assert_eq!(signed(-0.25, 2), "−0.25", "minus");
        assert_eq!(signed(0.0, 1), "0.0", "zero has no sign");
    }

    #[test]
    fn lengths_are_shown_in_the_unit_chosen() {
        assert_eq!(length_unit(0.6, 1), "0.6 mm", "metric at first");
        show_inches(true);
        // 0.6 mm / 25.4 = 0.023 62 in.
        assert_eq!(length_unit(0.6, 1), "0.024 in", "a thousandth of an inch");
        assert_eq!(signed_length(-254.0, 0), "−10.00", "no finer than asked for");
        assert_eq!(signed(2.5, 1), "+2.5", "a turn stays a turn");
        show_inches(false);
    }

    #[test]
    fn a_field_shows_and_takes_the_unit_chosen() {
        let all = [Quantity::Length, Quantity::Speed, Quantity::Angle];
        let told = |q: Quantity| (q.show(25.4, 1), q.unit(), q.metric(1.0), q.key_step(1.0));
        assert_eq!(
            all.map(told),
            [
                ("25.4".into(), "mm".into(), 1.0, 1.0),
                ("25.4".into(), "mm/s".into(), 1.0, 1.0),
                ("25.4".into(), "°".into(), 1.0, 1.0),
            ],
            "metric at first"
        );
        show_inches(true);
        assert_eq!(
            all.map(told),
            [
                ("1.000".into(), "in".into(), 25.4, 1.27),
                ("1.000".into(), "in/s".into(), 25.4, 1.27),
                ("25.4".into(), "°".into(), 1.0, 1.0),
            ],
            "0.05 in are 1.27 mm; an angle stays as it is"
        );
        show_inches(false);
    }

    #[test]
    fn texts_are_put_into_the_unit_chosen() {
        assert_eq!(in_unit("6 mm apart"), "6 mm apart", "metric at first");
        show_inches(true);
        assert_eq!(in_unit("**300 mm** apart"), "**11.81 in** apart", "300 / 25.4");
        assert_eq!(
            in_unit("off by 1.2 mm, limit 0.5 mm."),
            "off by 0.047 in, limit 0.020 in.",
            "each"
        );
        assert_eq!(in_unit("20 to 60 mm/s"), "0.79 to 2.36 in/s", "from and to");
        assert_eq!(in_unit("{x} mm, or mm"), "{x} mm, or mm", "no number, no change");
        show_inches(false);
    }

    #[test]
    fn numbers_are_read_from_people() {
        assert_eq!(read(" −4,5 "), Some(-4.5), "true minus and comma");
        assert_eq!(read("12"), Some(12.0), "plain");
        assert_eq!(read("+3."), Some(3.0), "a plus, and a point at the end");
        assert_eq!(read("-.5"), Some(-0.5), "no digit before the point");
        assert_eq!(read("007.50"), Some(7.5), "zeros before it");
        assert_eq!(read("0"), Some(0.0), "nothing but a zero");
        assert_eq!(read("--1"), None, "two signs");
        assert_eq!(read("."), None, "a point alone");
        assert_eq!(read("-"), None, "a sign alone");
        assert_eq!(read(""), None, "nothing");
        assert_eq!(read("inf"), None, "not a length");
        assert_eq!(read("12 mm"), None, "not a number");
    }
}
