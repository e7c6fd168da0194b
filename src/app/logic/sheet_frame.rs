//! The frame of the sheet: border zones, scale bar, title block.

use super::layout::{SheetFormat, SheetLayout};
use super::number::unit_mm;
use super::scale;
use super::svg_path::polyline;
use kurbo::{BezPath, Point, Rect};

/// Zones of the border (ISO 5457): letters down both sides, numbers along top and bottom, each with
/// its place. A narrow sheet has none.
pub(crate) fn zone_marks(l: &SheetLayout) -> Vec<(Point, char)> {
    if l.narrow() {
        return Vec::new();
    }
    let (across, down) = (6_u8, 4_u8);
    let frame = &l.frame;
    let (w, h) = (frame.width() / f64::from(across), frame.height() / f64::from(down));
    let columns = (0..across).flat_map(|i| {
        let x = frame.x0 + (f64::from(i) + 0.5) * w;
        [frame.y0 - 3.0, frame.y1 + 11.0].map(|y| (Point::new(x, y), char::from(b'1' + i)))
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
        let at = Point::new(l.drawing.x1 - px - 84.0, l.drawing.y1 - 10.0);
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

/// The cells of the title block. A projector and a phone have only what a class or a thumb needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TitleCells {
    pub(crate) part: Option<Rect>,
    pub(crate) units: Option<Rect>,
    pub(crate) scale: Option<Rect>,
    pub(crate) tolerance: Option<Rect>,
    pub(crate) run: Rect,
    pub(crate) verdict: Rect,
}

/// A title block less wide than this has no room for every cell in letters that can be read, pixels.
const ALL_CELLS: f64 = 280.0;

impl TitleCells {
    pub(crate) fn new(l: &SheetLayout) -> Self {
        let title = &l.title;
        // As shares of the title block: left, top, right, bottom.
        let cell = |x0: f64, y0: f64, x1: f64, y1: f64| {
            let at = |x: f64, y: f64| {
                Point::new(title.x0 + x * title.width(), title.y0 + y * title.height())
            };
            Rect::from_points(at(x0, y0), at(x1, y1))
        };
        match l.format {
            SheetFormat::Desk if title.width() < ALL_CELLS => Self {
                part: Some(cell(0.0, 0.0, 1.0, 0.28)),
                units: None,
                scale: None,
                tolerance: Some(cell(0.0, 0.28, 0.38, 0.56)),
                run: cell(0.38, 0.28, 1.0, 0.56),
                verdict: cell(0.0, 0.56, 1.0, 1.0),
            },
            SheetFormat::Desk => Self {
                part: Some(cell(0.0, 0.0, 1.0, 0.28)),
                units: Some(cell(0.0, 0.28, 0.15, 0.56)),
                scale: Some(cell(0.15, 0.28, 0.34, 0.56)),
                tolerance: Some(cell(0.34, 0.28, 0.6, 0.56)),
                run: cell(0.6, 0.28, 1.0, 0.56),
                verdict: cell(0.0, 0.56, 1.0, 1.0),
            },
            SheetFormat::Projector => Self {
                part: None,
                units: None,
                scale: None,
                tolerance: None,
                run: cell(0.0, 0.0, 1.0, 0.36),
                verdict: cell(0.0, 0.36, 1.0, 1.0),
            },
            SheetFormat::Phone => Self {
                part: None,
                units: None,
                scale: None,
                tolerance: None,
                run: cell(0.0, 0.0, 0.36, 1.0),
                verdict: cell(0.36, 0.0, 1.0, 1.0),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::layout::SheetExtent;
    use nudgeproof::cell::first_part;

    fn layout(width: f64) -> SheetLayout {
        let part = first_part();
        SheetLayout::new(width, 600.0, &SheetExtent::of(&part), SheetFormat::of(width, false))
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
        for width in [1072.0, 730.0, 374.0] {
            let l = layout(width);
            let c = TitleCells::new(&l);
            let some = [c.part, c.units, c.scale, c.tolerance];
            let cells = some.into_iter().flatten().chain([c.run, c.verdict]);
            let area: f64 = cells.map(|r| r.area()).sum();
            assert!((area - l.title.area()).abs() < 1e-6, "{area} of {}", l.title.area());
        }
    }
}
