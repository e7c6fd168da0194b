use crate::app::logic::layout::Rect;
use crate::app::logic::number::{length, signed_length};
use crate::app::logic::projection::ScreenPoint;
use crate::app::logic::svg_writer::SvgWriter;

/// Size of a chart in its own units; it is stretched to the room it is given.
pub(super) const SIZE: [f64; 2] = [264.0, 140.0];
/// Room for the numbers at the left and under the plot.
const LEFT: f64 = 44.0;
const BELOW: f64 = 20.0;
const EDGE: f64 = 8.0;

/// The plot of a chart: lengths either way from zero, up the page, with a band that is allowed.
pub(super) struct Frame {
    pub(super) plot: Rect,
    /// The largest length shown, mm.
    most: f64,
    limit: f64,
}

impl Frame {
    /// A plot in which these values, and what is allowed either way, have room.
    pub(super) fn new(values: &[f64], limit: f64) -> Self {
        let most = values.iter().fold(limit, |m, v| m.max(v.abs())) * 1.25;
        let [w, h] = SIZE;
        let plot = Rect::new(LEFT, EDGE, w - LEFT - EDGE, h - EDGE - BELOW);
        Self { plot, most: most.max(1e-6), limit }
    }

    /// How far down the chart a length is, mm.
    pub(super) fn y(&self, mm: f64) -> f64 {
        self.plot.middle().y - mm / self.most * self.plot.h / 2.0
    }

    /// The band, the zero line and the numbers beside them.
    pub(super) fn draw(&self, m: &mut SvgWriter) {
        let (p, top) = (&self.plot, self.y(self.limit));
        m.rect("band", &Rect::new(p.x, top, p.w, self.y(-self.limit) - top));
        for (v, class) in [(self.limit, "limit"), (0.0, "zero"), (-self.limit, "limit")] {
            let y = self.y(v);
            m.path(class, &format!("M{} {y:.2}h{}", p.x, p.w));
            let text = if v == 0.0 { length(0.0, 0) } else { signed_length(v, 1) };
            m.text("scale", ScreenPoint::new(p.x - 4.0, y + 4.0), &text);
        }
        m.rect("plot", p);
    }
}
