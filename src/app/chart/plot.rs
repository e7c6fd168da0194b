use crate::app::i18n::{Key, text};
use crate::app::logic::number::{length, signed_length};
use crate::app::logic::svg_path::d;
use crate::app::sheet::{lettering, rect};
use kurbo::{Line, Point, Rect};
use leptos::prelude::*;

/// Size of a chart in its own units; it is scaled to the room there is.
const SIZE: [f64; 2] = [264.0, 140.0];
/// Room for the numbers at the left of the plot and under it.
const LEFT: f64 = 44.0;
const BELOW: f64 = 20.0;
const EDGE: f64 = 8.0;
/// Even with smaller values a plot reaches this far, mm.
const LEAST: f64 = 1e-6;

/// The plot of a chart: lengths either way from zero, upwards, with the band that is allowed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Plot {
    pub(super) area: Rect,
    /// Pixels per millimetre.
    scale: f64,
    /// Limit in both directions, mm.
    limit: f64,
}

impl Plot {
    /// A plot with room for these values and the limit in both directions, mm.
    pub(super) fn new(values: &[f64], limit: f64) -> Self {
        let largest = values.iter().fold(limit, |m, v| m.max(v.abs())) * 1.25;
        let [w, h] = SIZE;
        let area = Rect::new(LEFT, EDGE, w - EDGE, h - BELOW);
        Self { area, scale: area.height() / 2.0 / largest.max(LEAST), limit }
    }

    /// How far down the chart a length, mm, is drawn.
    pub(super) fn y(&self, mm: f64) -> f64 {
        self.area.center().y - mm * self.scale
    }

    /// Where the base line of the names under the plot is.
    pub(super) fn names(&self) -> f64 {
        self.area.y1 + 14.0
    }
}

/// A chart over a plot: the band, the zero line and the numbers beside them.
#[component]
pub(super) fn PlotChart(
    class: &'static str,
    title: Key,
    plot: Plot,
    children: Children,
) -> impl IntoView {
    let Plot { area, limit, .. } = plot;
    let band = Rect::new(area.x0, plot.y(limit), area.x1, plot.y(-limit));
    let level = |(mm, class): (f64, &'static str)| {
        let y = plot.y(mm);
        let number = if mm == 0.0 { length(0.0, 0) } else { signed_length(mm, 1) };
        view! {
            <path class=class d=d(&Line::new((area.x0, y), (area.x1, y))) />
            {lettering("scale", Point::new(area.x0 - 4.0, y + 4.0), number)}
        }
    };
    let [w, h] = SIZE;
    view! {
        <svg class=class role="img" aria-label=text(title) viewBox=format!("0 0 {w} {h}")>
            {rect("band", &band)}
            {[(limit, "limit"), (0.0, "zero"), (-limit, "limit")].map(level)}
            {rect("plot", &area)}
            {children()}
        </svg>
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_has_room_above_or_below_zero() {
        let plot = Plot::new(&[0.3, -2.0], 0.6);
        assert_eq!(plot.y(0.0), plot.area.center().y, "zero in the middle");
        assert!(plot.y(0.3) < plot.y(0.0), "up is positive");
        assert!(plot.y(-2.0) < plot.area.y1 && plot.y(0.6) > plot.area.y0, "inside");
    }
}
