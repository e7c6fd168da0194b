//! A chart of one number over the parts of a shift.

use super::svg_path::polyline;
use kurbo::{BezPath, Point, Size};
use nudgeproof::shift::is_outside;

/// Size of a chart in its own units; it is stretched to the room there is.
pub(crate) const SHIFT_CHART: Size = Size::new(400.0, 100.0);
/// Free above and below the outermost value or limit, as a share of the chart.
const EDGE: f64 = 0.08;

/// What is drawn of a chart.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ShiftChart {
    /// From value to value; broken where a part was not found.
    pub(crate) line: BezPath,
    /// Values within the limits, as lines without length: the style sheet draws them as dots.
    pub(crate) within: BezPath,
    /// Values outside, drawn so too.
    pub(crate) outside: BezPath,
    /// The limits.
    pub(crate) limits: BezPath,
    /// The part that waits.
    pub(crate) now: Option<BezPath>,
}

impl ShiftChart {
    /// The chart of these values, the first part's first, of a shift of so many parts. `waits` if the
    /// last one is that of the part that waits. Values up to `usual` either way have room in any case.
    pub(crate) fn new(
        values: &[Option<f64>],
        limits: Option<[f64; 2]>,
        (parts, waits): (usize, bool),
        usual: [f64; 2],
    ) -> Self {
        let all = values.iter().flatten().copied().chain(limits.into_iter().flatten());
        let [low, high] = all.fold(usual, |[low, high], v| [low.min(v), high.max(v)]);
        let Size { width, height } = SHIFT_CHART;
        let edge = height * EDGE;
        let y = |v: f64| height - edge - (v - low) / (high - low).max(1e-9) * (height - 2.0 * edge);
        let x = |i: usize| (i as f64 + 0.5) / parts.max(1) as f64 * width;
        let at = |(i, v): (usize, f64)| Point::new(x(i), y(v));
        let known = || values.iter().enumerate().filter_map(|(i, v)| v.map(|v| (i, v)));
        let is_out = |v: f64| limits.is_some_and(|limits| is_outside(v, limits));
        let dots = |out: bool| {
            let mut path = BezPath::new();
            for dot in known().filter(|(_, v)| is_out(*v) == out).map(at) {
                path.move_to(dot);
                path.line_to(dot);
            }
            path
        };
        let runs = values.split(Option::is_none).scan(0, |first, run| {
            let from = *first;
            *first += run.len() + 1;
            Some(run.iter().flatten().enumerate().map(move |(i, v)| (from + i, *v)))
        });
        let line = runs.map(|run| polyline(run.map(at))).fold(BezPath::new(), |mut all, run| {
            all.extend(run);
            all
        });
        let level = |v: f64| polyline([Point::new(0.0, y(v)), Point::new(width, y(v))]);
        let mut both = BezPath::new();
        // Below zero no size can be: that is no limit.
        let limits = limits.into_iter().flatten().filter(|v| *v != 0.0);
        limits.for_each(|v| both.extend(level(v)));
        let now = waits.then(|| x(values.len().saturating_sub(1)));
        let now = now.map(|x| polyline([Point::new(x, 0.0), Point::new(x, height)]));
        Self { line, within: dots(false), outside: dots(true), limits: both, now }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape;

    fn chart(values: &[Option<f64>], limits: Option<[f64; 2]>) -> ShiftChart {
        ShiftChart::new(values, limits, (10, true), [-5.0, 5.0])
    }

    #[test]
    fn every_value_is_a_dot_and_those_outside_are_others() {
        let drawn = chart(&[Some(0.0), Some(4.0), None, Some(-1.0)], Some([-2.0, 2.0]));
        let dots = |path: &BezPath| path.segments().count();
        assert_eq!((dots(&drawn.within), dots(&drawn.outside)), (2, 1));
        assert_eq!(drawn.line.segments().count(), 1, "no line across the part that was not found");
        // Zero is in the middle of a chart that reaches as far either way; the first part's column is
        // a tenth of its width.
        let first = drawn.within.bounding_box();
        assert!((first.x0 - 20.0).abs() < 1e-9 && (first.y0 - 50.0).abs() < 1e-9, "{first:?}");
        let now = drawn.now.expect("the fourth part waits").bounding_box();
        assert!((now.x0 - 140.0).abs() < 1e-9, "{now:?}");
    }

    #[test]
    fn a_value_far_off_is_still_on_the_chart() {
        let drawn = chart(&[Some(30.0), Some(-40.0)], None);
        let all = drawn.line.bounding_box();
        assert!(all.y0 > 0.0 && all.y1 < SHIFT_CHART.height, "{all:?}");
        assert!(drawn.limits.is_empty(), "no limits, no lines");
    }
}
