//! The play of a fixture in words.

use super::number::length_unit;
use crate::app::i18n::{Key, text};
use nudgeproof::cell::FixturePlay;

/// How far the fixture lets a part move: what is free, and no more. A number stays with its sign and
/// unit on one line.
pub(crate) fn play_text(play: &FixturePlay) -> String {
    let free = |value: f64| value != 0.0;
    let length = |name: &str, mm: f64| {
        format!("{name} ±\u{a0}{}", length_unit(mm, 0).replace(' ', "\u{a0}"))
    };
    let angle = |name: Key, degrees: f64| format!("{} ±\u{a0}{degrees}°", text(name));
    let mut all = Vec::new();
    match [play.dx, play.dy] {
        [x, y] if x == y && free(x) => all.push(length("X, Y", x)),
        [x, y] => {
            all.extend(
                [("X", x), ("Y", y)]
                    .into_iter()
                    .filter(|(_, v)| free(*v))
                    .map(|(n, v)| length(n, v)),
            );
        }
    }
    if free(play.dz) {
        all.push(length(text(Key::FreeHeight), play.dz));
    }
    if free(play.turn_deg) {
        all.push(angle(Key::FreeTurn, play.turn_deg));
    }
    if free(play.tilt_deg) {
        all.push(angle(Key::Tilt, play.tilt_deg));
    }
    all.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_free_is_told() {
        let play = FixturePlay { dx: 6.0, dy: 6.0, turn_deg: 2.5, ..FixturePlay::default() };
        assert_eq!(
            play_text(&play),
            "X, Y ±\u{a0}6\u{a0}mm, turn ±\u{a0}2.5°",
            "the same along both"
        );
        let play = FixturePlay { dy: 8.0, dz: 3.0, tilt_deg: 1.0, ..FixturePlay::default() };
        assert_eq!(
            play_text(&play),
            "Y ±\u{a0}8\u{a0}mm, height ±\u{a0}3\u{a0}mm, tilt ±\u{a0}1°",
            "no X, no turn"
        );
    }
}
