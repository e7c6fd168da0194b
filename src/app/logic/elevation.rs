//! The scale of heights in the elevation.

use super::layout::{SheetFormat, SheetLayout};
use super::svg_path::polyline;
use super::words::line_height;
use kurbo::{BezPath, Line, Point, Vec2};

/// The table, the break, and a ladder of heights at the right edge.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct HeightScale {
    pub(crate) table: Line,
    /// The middle of the hatched strip under the table.
    pub(crate) hatch: Line,
    /// A thin line with zigzags (ISO 128): above it heights are drawn smaller.
    pub(crate) break_line: BezPath,
    pub(crate) marks: Vec<HeightMark>,
}

/// One mark of the height scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct HeightMark {
    /// Its height, mm.
    pub(crate) z: f64,
    pub(crate) line: Line,
    /// Where its number ends.
    pub(crate) text: Point,
}

/// Length of one zigzag of the break line with the straight line before and after it, pixels.
const ZIGZAG: f64 = 90.0;

impl HeightScale {
    pub(crate) fn new(l: &SheetLayout) -> Self {
        let (view, area) = (&l.projection.elevation, &l.elevation);
        let across = |y: f64| Line::new((area.x0, y), (area.x1, y));
        let table = view.height(0.0);
        let mark = |z: f64| {
            let y = view.height(z);
            HeightMark {
                z,
                line: Line::new((area.x1 - 8.0, y), (area.x1 - 2.0, y)),
                text: Point::new(area.x1 - 11.0, y + 3.5),
            }
        };
        // A class has no use for them, and there the part lies behind them.
        let marks: &[f64] = match l.format {
            SheetFormat::Projector => &[],
            SheetFormat::Desk | SheetFormat::Phone => &[0.0, 200.0, view.break_height, 24.0, 12.0],
        };
        let marks: Vec<_> = marks.iter().map(|z| mark(*z)).collect();
        Self {
            table: across(table),
            hatch: across(table + 4.0),
            break_line: break_line(&across(view.height(view.break_height))),
            marks: apart(&marks, l.letter),
        }
    }
}

/// Those of the marks, the first ones first, whose numbers do not lie over those before.
fn apart(marks: &[HeightMark], letter: f64) -> Vec<HeightMark> {
    let mut kept: Vec<HeightMark> = Vec::new();
    for mark in marks {
        if kept.iter().all(|other| (other.text.y - mark.text.y).abs() > line_height(letter)) {
            kept.push(*mark);
        }
    }
    kept
}

fn break_line(along: &Line) -> BezPath {
    let corners = [(40.0, 0.0), (43.0, -5.0), (48.0, 5.0), (51.0, 0.0)];
    let zigzags = (along.length() / ZIGZAG).floor() as usize;
    let points = (0..zigzags).flat_map(|i| {
        let from = along.p0 + Vec2::new(i as f64 * ZIGZAG, 0.0);
        corners.map(|(x, y)| from + Vec2::new(x, y))
    });
    polyline([along.p0].into_iter().chain(points).chain([along.p1]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_break_line_runs_from_edge_to_edge_with_as_many_zigzags_as_fit() {
        let path = break_line(&Line::new((10.0, 50.0), (200.0, 50.0)));
        assert_eq!(path.elements().len(), 2 + 2 * 4, "both ends and two zigzags");
        assert_eq!(path.current_position(), Some(Point::new(200.0, 50.0)), "to the edge");
    }
}
