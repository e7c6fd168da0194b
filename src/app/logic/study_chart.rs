use crate::app::i18n::Key;
use kurbo::{BezPath, Point, Rect, Shape};
use nudgeproof::locate::STATED_SIGMAS;
use nudgeproof::session::EndTally;
use std::f64::consts::{FRAC_1_SQRT_2, TAU};

/// Bars from one end of the axis to the other.
const BARS: usize = 60;
/// The axis reaches beyond the tolerance by this share of it, or as far as the furthest miss.
const BEYOND: f64 = 0.25;
/// At most so many tolerances.
const FURTHEST: f64 = 3.0;
/// Spreads that differ by less agree.
const AGREE: f64 = 0.1;

/// The misses at a weld end as bars, and the forecast as a curve of the same area; in pixels.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct StudyChart {
    pub(crate) width: f64,
    /// Where the bars stand.
    pub(crate) base: f64,
    /// Bars within the tolerance, and beyond it.
    pub(crate) inside: BezPath,
    pub(crate) outside: BezPath,
    pub(crate) curve: Option<BezPath>,
    /// Where the limits are, and how many mm they are.
    pub(crate) limits: [(f64, f64); 2],
    /// What is forecast for parts with one reference in common: three standard deviations, mm.
    pub(crate) common_mm: Option<f64>,
    /// What is said of forecast and study.
    pub(crate) agrees: Option<Key>,
}

impl StudyChart {
    /// `sigma`: what one reference and one production together are forecast to scatter by, mm. The parts of
    /// a study have their reference in common, so each half of the variance shows: they scatter by 1/√2 of it
    /// about a mean that the reference has moved.
    pub(crate) fn new(end: &EndTally, sigma: Option<f64>) -> Self {
        let (width, base) = (480.0, 96.0);
        let tolerance = end.tolerance_mm;
        let furthest = end.across.furthest().unwrap_or(0.0);
        let reach = furthest.max(tolerance * (1.0 + BEYOND)).min(tolerance * FURTHEST);
        let x = |mm: f64| (mm + reach) / (2.0 * reach) * width;
        let counts = end.across.bars([-reach, reach], BARS);
        let sigma = sigma.map(|s| s * FRAC_1_SQRT_2).filter(|s| *s > 0.0);
        let bar_mm = 2.0 * reach / BARS as f64;
        let peak = |s: f64| end.across.count() as f64 * bar_mm / (s * TAU.sqrt());
        let most = counts.iter().copied().max().unwrap_or(0) as f64;
        let most = sigma.map_or(most, |s| most.max(peak(s))).max(1.0);
        let y = |count: f64| base - count / most * (base - 4.0);
        let (mut inside, mut outside) = (BezPath::new(), BezPath::new());
        for (i, count) in counts.iter().enumerate().filter(|(_, n)| **n > 0) {
            let from = i as f64 * bar_mm - reach;
            let bar = Rect::new(x(from), y(*count as f64), x(from + bar_mm), base);
            let middle = (from + bar_mm / 2.0).abs();
            let bars = if middle <= tolerance { &mut inside } else { &mut outside };
            bars.extend(bar.path_elements(0.1));
        }
        let mean = end.across.mean().unwrap_or(0.0);
        let curve = sigma.map(|s| {
            let at = |n: usize| {
                let mm = -reach + 2.0 * reach * n as f64 / 120.0;
                let off = (mm - mean) / s;
                Point::new(x(mm), y(peak(s) * libm::exp(-off * off / 2.0)))
            };
            let mut path = BezPath::new();
            path.move_to(at(0));
            (1..=120).for_each(|n| path.line_to(at(n)));
            path
        });
        let ratio = sigma.zip(end.across.sigma()).map(|(said, found)| found / said);
        let agrees = ratio.map(|ratio| match ratio {
            r if (r - 1.0).abs() <= AGREE => Key::StudyAgrees,
            r if r > 1.0 => Key::StudyWider,
            _ => Key::StudyNarrower,
        });
        let common_mm = sigma.map(|s| s * STATED_SIGMAS);
        let limits = [-tolerance, tolerance].map(|mm| (x(mm), mm));
        Self { width, base, inside, outside, curve, limits, common_mm, agrees }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::routine::StepId;
    use nudgeproof::session::Histogram;

    /// Misses as a normal distribution has them: one at each of so many equally likely places.
    fn end(sigma: f64, mean: f64) -> EndTally {
        let mut across = Histogram::default();
        for n in 0..2000 {
            // Sum of twelve even draws, here each at its middle: close to normal (the central limit).
            let u: f64 = (0..12)
                .map(|k| f64::from((n * 7919 + k * 104_729 + k * k * n) % 1000) / 1000.0)
                .sum();
            across.add(mean + sigma * (u - 6.0));
        }
        let inside = across.count();
        let (seam, height) = ("seam".to_owned(), Histogram::default());
        EndTally { step: StepId(1), at_end: false, seam, tolerance_mm: 0.6, across, height, inside }
    }

    #[test]
    fn the_curve_has_the_area_of_the_bars() {
        let end = end(0.1, 0.05);
        let found = end.across.sigma().expect("many");
        let chart = StudyChart::new(&end, Some(found * std::f64::consts::SQRT_2));
        let area = |path: &BezPath| path.area().abs();
        let bars = area(&chart.inside) + area(&chart.outside);
        let mut under = chart.curve.clone().expect("a forecast");
        under.line_to((chart.width, chart.base));
        under.line_to((0.0, chart.base));
        under.close_path();
        assert!((area(&under) / bars - 1.0).abs() < 0.02, "{} and {bars}", area(&under));
        assert_eq!(chart.agrees, Some(Key::StudyAgrees));
        let common = chart.common_mm.expect("a forecast");
        assert!(
            (common - 3.0 * found).abs() < 1e-9,
            "three standard deviations of the misses: {common}"
        );
    }

    #[test]
    fn a_study_that_scatters_otherwise_is_told() {
        let end = end(0.1, 0.0);
        let found = end.across.sigma().expect("many") * std::f64::consts::SQRT_2;
        let says = |sigma| StudyChart::new(&end, sigma).agrees;
        assert_eq!(says(Some(found / 1.5)), Some(Key::StudyWider));
        assert_eq!(says(Some(found * 1.5)), Some(Key::StudyNarrower));
        assert_eq!(says(None), None, "no forecast, nothing to compare");
    }

    #[test]
    fn what_is_beyond_the_tolerance_is_another_bar() {
        let chart = StudyChart::new(&end(0.5, 0.0), None);
        assert!(chart.outside.bounding_box().width() > 0.0 && chart.curve.is_none());
        let [(low, _), (high, _)] = chart.limits;
        assert!(chart.inside.bounding_box().x0 >= low - chart.width / BARS as f64);
        assert!(chart.inside.bounding_box().x1 <= high + chart.width / BARS as f64);
    }
}
