use super::units::Quantity;
use super::words::Words;

/// A number with what it measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number {
    /// What it measures.
    pub quantity: Quantity,
    /// In mm, mm/s or degrees.
    pub value: f64,
    /// Decimals of a metric value.
    pub decimals: usize,
    /// Whether a positive one has its sign.
    pub signed: bool,
    /// What it is held against: both are written with as many decimals as tell them apart.
    pub against: Option<f64>,
}

/// How many decimals more than asked for are written at most, to tell two numbers apart.
const MORE_DECIMALS: usize = 2;

impl Number {
    const fn new(quantity: Quantity, value: f64, decimals: usize) -> Self {
        Self { quantity, value, decimals, signed: false, against: None }
    }

    /// The same, with a sign also where it is positive.
    #[must_use]
    pub const fn signed(self) -> Self {
        Self { signed: true, ..self }
    }

    /// As it is written.
    pub fn text(&self, words: Words) -> String {
        let shown = |value| self.quantity.shown(value, self.decimals, words.units);
        let (value, least) = shown(self.value);
        // A typed number may have hundreds of digits.
        let number = if value.abs() >= 1e9 {
            format!("{value:.2e}")
        } else {
            let same = |decimals: &usize| {
                let size = |value: f64| plain(value.abs(), *decimals);
                self.against.is_some_and(|other| size(value) == size(shown(other).0))
            };
            let most = least + MORE_DECIMALS;
            let decimals = (least..most).find(|decimals| !same(decimals)).unwrap_or(most);
            if self.signed { signed(value, decimals) } else { plain(value, decimals) }
        };
        number + &self.quantity.unit(words.units).concat()
    }
}

/// A length, mm.
pub const fn mm(value: f64, decimals: usize) -> Number {
    Number::new(Quantity::Length, value, decimals)
}

/// A speed, mm/s.
pub(crate) const fn speed(value: f64, decimals: usize) -> Number {
    Number::new(Quantity::Speed, value, decimals)
}

/// An angle, from radians.
pub(crate) fn angle(radians: f64, decimals: usize) -> Number {
    Number::new(Quantity::Angle, radians.to_degrees(), decimals)
}

/// A number without unit.
pub(crate) const fn number(value: f64, decimals: usize) -> Number {
    Number::new(Quantity::Number, value, decimals)
}

/// A number found and the one that it is held against.
pub(crate) fn against(found: Number, allowed: Number) -> [Number; 2] {
    let beside = |number: Number, other: Number| Number { against: Some(other.value), ..number };
    [beside(found, allowed), beside(allowed, found)]
}

/// The sizes of a length found and of the one that it is held against, mm.
pub(crate) fn mm_against(found: f64, allowed: f64) -> [Number; 2] {
    against(mm(found.abs(), 1), mm(allowed.abs(), 1))
}

/// A number with a true minus sign, and none before a zero.
pub fn plain(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let zero = text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.');
    match text.strip_prefix('-') {
        Some(rest) if zero => rest.to_owned(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

/// The same with a plus sign where it is positive.
pub fn signed(value: f64, decimals: usize) -> String {
    let text = plain(value, decimals);
    let zero = text.chars().all(|c| c == '0' || c == '.');
    if zero || text.starts_with('−') { text } else { format!("+{text}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::units::Units;

    const INCHES: Words = Words { units: Units::Inches, ..METRIC };
    const METRIC: Words =
        Words { language: crate::text::words::Language::English, units: Units::Metric };

    #[test]
    fn numbers_are_written_for_people() {
        assert_eq!(plain(-4.0, 1), "−4.0", "true minus");
        assert_eq!(plain(-0.001, 2), "0.00", "no minus zero");
        assert_eq!(signed(0.25, 2), "+0.25", "plus");
        assert_eq!(signed(0.001, 2), "0.00", "zero has no sign");
    }

    #[test]
    fn lengths_and_speeds_are_written_in_the_unit_chosen() {
        let all = [mm(-6.0, 1), mm(254.0, 0), speed(60.0, 0), angle(1.0, 0), number(3.0, 0)];
        let written = |words| all.map(|n| n.text(words));
        assert_eq!(written(METRIC), ["−6.0 mm", "254 mm", "60 mm/s", "57°", "3"]);
        assert_eq!(written(INCHES), ["−0.236 in", "10.00 in", "2.36 in/s", "57°", "3"]);
        assert_eq!(mm(2.0, 1).signed().text(METRIC), "+2.0 mm");
        assert_eq!(mm(1e300, 1).text(METRIC), "1.00e300 mm", "a typed number");
    }

    #[test]
    fn two_numbers_held_against_each_other_are_told_apart() {
        let written = |words, pair: [Number; 2]| pair.map(|n| n.text(words));
        assert_eq!(written(METRIC, mm_against(1.2, 0.6)), ["1.2 mm", "0.6 mm"]);
        assert_eq!(written(METRIC, mm_against(-0.52, 0.5)), ["0.52 mm", "0.50 mm"]);
        // 0.51 / 25.4 = 0.020 08, 0.5 / 25.4 = 0.019 69.
        assert_eq!(written(INCHES, mm_against(0.51, 0.5)), ["0.0201 in", "0.0197 in"]);
        assert_eq!(written(METRIC, mm_against(0.5, 0.5)), ["0.500 mm", "0.500 mm"], "the same");
        let degrees = against(angle(15.2_f64.to_radians(), 0), angle(15_f64.to_radians(), 0));
        assert_eq!(written(METRIC, degrees), ["15.2°", "15.0°"]);
    }
}
