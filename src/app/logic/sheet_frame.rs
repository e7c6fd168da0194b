//! The frame of the sheet: border zones, scale bar, title block.

use super::layout::SheetLayout;
use super::number::unit_mm;
use super::scale;
use super::svg_path::polyline;
use kurbo::{BezPath, Point, Rect};

/// Zones of the border (ISO 5457): letters down both sides, numbers along top and bottom, each with
/// its place. A narrow sheet has none.
pub(crate) fn zone_marks(l: &SheetLayout) -> Vec<(Point, char)> {
    if l.narrow {
        return Vec::new();
    }
    let (across, down) = (6_u8, 4_u8);
    let frame = &l.frame;
    let (w, h) = (frame.width() / f64::from(across), frame.height() / f64::from(down));
    let columns = (0..across).flat_map(|i| {
        let x = frame.x0 + (f64::from(i) + 0.5) * w;
        [frame.y0 - 4.0, frame.y1 + 12.0].map(|y| (Point::new(x, y), char::from(b'1' + i)))
    });
    let rows = (0..down).flat_map(|i| {
        let y = frame.y0 + (f64::from(i) + 0.5) * h + 4.0;
        [frame.x0 / 2.0, frame.x1 + frame.x0 / 2.0]
            .map(|x| (Point::new(x, y), char::from(b'A' + i)))
    });
    columns.chain(rows).collect()
}

/// The scale bar in the corner of the plan.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ScaleBar {
    /// Its length in the unit shown.
    pub(crate) length: f64,
    /// Its outline, with a mark at half its length.
    pub(crate) bar: BezPath,
    /// Its first half, which is filled.
    pub(crate) filled: Rect,
    /// Where its length stands.
    pub(crate) text: Point,
    /// The corner of the axes over it.
    pub(crate) axes: Point,
}

/// Longest scale bar, pixels.
const LONGEST_BAR: f64 = 90.0;
/// Height of the scale bar, pixels.
const BAR_HEIGHT: f64 = 5.0;

impl ScaleBar {
    pub(crate) fn new(l: &SheetLayout) -> Self {
        let px_per_unit = l.projection.plan.px(unit_mm());
        let length = scale::bar(px_per_unit, LONGEST_BAR);
        let px = length * px_per_unit;
        let at = Point::new(l.plan.x1 - px - 84.0, l.plan.y1 - 10.0);
        let on = |x: f64, up: f64| at + (x, -up);
        let mut bar =
            polyline([on(0.0, 0.0), on(0.0, BAR_HEIGHT), on(px, BAR_HEIGHT), on(px, 0.0)]);
        bar.extend(polyline([on(px / 2.0, 0.0), on(px / 2.0, BAR_HEIGHT)]));
        Self {
            length,
            bar,
            filled: Rect::from_points(on(0.0, 0.0), on(px / 2.0, BAR_HEIGHT)),
            text: on(px + 5.0, 0.0),
            axes: on(2.0, 18.0),
        }
    }
}

/// The cells of the title block as shares of it: left, top, width, height. In this order: part,
/// units, scale, tolerance, reference, run; the verdict below them.
const CELLS: [[f64; 4]; 7] = [
    [0.0, 0.0, 1.0, 0.21],
    [0.44, 0.21, 0.27, 0.19],
    [0.71, 0.21, 0.29, 0.19],
    [0.0, 0.21, 0.44, 0.19],
    [0.0, 0.4, 0.36, 0.19],
    [0.36, 0.4, 0.64, 0.19],
    [0.0, 0.59, 1.0, 0.41],
];

/// The cells of the title block: part, units, scale, tolerance, reference, run, verdict.
pub(crate) fn title_cells(title: &Rect) -> [Rect; 7] {
    CELLS.map(|[x, y, w, h]| {
        let origin = (title.x0 + x * title.width(), title.y0 + y * title.height());
        Rect::from_origin_size(origin, (w * title.width(), h * title.height()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::layout::SheetExtent;
    use nudgeproof::cell::parts;

    fn layout(width: f64) -> SheetLayout {
        let part = parts().into_iter().next().expect("a part");
        SheetLayout::new(width, 600.0, &SheetExtent::of(&part))
    }

    #[test]
    fn each_zone_is_named_on_both_sides() {
        let marks = zone_marks(&layout(720.0));
        let named: String = marks.iter().map(|(_, name)| name).collect();
        assert_eq!(named, "112233445566AABBCCDD", "twice each");
        assert!(zone_marks(&layout(374.0)).is_empty(), "none on a phone");
    }

    #[test]
    fn the_scale_bar_is_as_long_as_it_says() {
        let l = layout(720.0);
        let bar = ScaleBar::new(&l);
        let filled = bar.filled.width() / l.projection.plan.px(1.0);
        assert!((filled - bar.length / 2.0).abs() < 1e-9, "{filled} of {} mm filled", bar.length);
    }

    #[test]
    fn the_cells_fill_the_title_block() {
        let title = Rect::new(10.0, 20.0, 210.0, 220.0);
        let area: f64 = title_cells(&title).iter().map(Rect::area).sum();
        assert!((area - title.area()).abs() < 1e-6, "{area} of {}", title.area());
    }
}
