//! Scale bars and drawing scales.

/// Round lengths a scale bar may have, in the unit shown.
const BARS: [f64; 9] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];

/// The longest round length whose bar is at most `room` pixels long.
pub(crate) fn bar(px_per_unit: f64, room: f64) -> f64 {
    BARS.iter().rev().find(|b| *b * px_per_unit <= room).copied().unwrap_or(BARS[0])
}

/// Scales of ISO 5455 for reduction, as the number after "1 :".
const REDUCTIONS: [f64; 9] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];

/// The nearest drawing scale (ISO 5455) at 96 CSS pixels to the inch, as the title block shows it.
/// Screens differ, so it is marked as approximate; the scale bar is exact.
pub(crate) fn nominal(px_per_mm: f64) -> String {
    let real = px_per_mm * 25.4 / 96.0;
    let wanted = 1.0 / real;
    let near = REDUCTIONS
        .iter()
        .min_by(|a, b| libm::log(*a / wanted).abs().total_cmp(&libm::log(*b / wanted).abs()))
        .copied()
        .unwrap_or(1.0);
    format!("≈ 1 : {near}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_is_round_and_fits() {
        assert_eq!(bar(0.75, 100.0), 100.0, "75 px");
        assert_eq!(bar(0.5, 90.0), 100.0, "50 px");
        assert_eq!(bar(2.0, 90.0), 20.0, "40 px");
    }

    #[test]
    fn the_scale_is_one_of_the_standard_ones() {
        // 0.75 px/mm is 0.198 mm on a 96 dpi screen: 1 : 5.04.
        assert_eq!(nominal(0.75), "≈ 1 : 5", "five times smaller");
        assert_eq!(nominal(96.0 / 25.4), "≈ 1 : 1", "full size");
    }
}
