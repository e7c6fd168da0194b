//! The thin line from the card *Now* to the place on the plan that it speaks of.

use super::layout::{SheetFormat, SheetLayout};
use super::svg_path::polyline;
use kurbo::{BezPath, Point, Vec2};
use nudgeproof::coach::Finding;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::Routine;

/// The taught point that a finding is about, or that of its step; work frame, mm.
pub(crate) fn place_of(finding: &Finding, routine: &Routine) -> Option<Point3<f64>> {
    let named = finding.point.as_deref().and_then(|name| routine.point(name));
    let of_step = || {
        let step = routine.steps.get(routine.index_of(finding.step?)?)?;
        routine.point(step.instruction.point()?)
    };
    named.or_else(of_step).map(|point| point.at)
}

/// The ring about the place, and the line to it from the edge of the sheet beside the card. Only at a desk the
/// card stands there.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct NowLine {
    pub(crate) ring: Point,
    pub(crate) line: Option<BezPath>,
}

/// Radius of the ring, pixels.
pub(crate) const RING: f64 = 11.0;
/// Height of the line over the cards at the right, under the frame, pixels.
const OVER_CARDS: f64 = 4.0;
/// It turns off this far left of the cards, pixels.
const LEFT_OF_CARDS: f64 = 10.0;

impl NowLine {
    pub(crate) fn new(at: &Point3<f64>, layout: &SheetLayout) -> Self {
        let ring = layout.projection.plan.point(at);
        let y = layout.plan.y0 + OVER_CARDS;
        let turn = Point::new(layout.drawing.x1 - LEFT_OF_CARDS, y);
        let way: Vec2 = ring - turn;
        let end = ring - way.normalize() * RING;
        let line = polyline([Point::new(layout.width, y), turn, end]);
        let line = (layout.format == SheetFormat::Desk && way.hypot() > RING).then_some(line);
        Self { ring, line }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::layout::SheetExtent;
    use nudgeproof::cell::part_by_name;

    #[test]
    fn the_line_runs_over_the_cards_and_ends_at_the_ring() {
        let part = part_by_name("bench-side").expect("it comes with the program");
        let layout = |format| SheetLayout::new(1000.0, 700.0, &SheetExtent::of(&part), format);
        let at = Point3::new(-16.0, 35.0, 5.0);
        let desk = layout(SheetFormat::Desk);
        let mark = NowLine::new(&at, &desk);
        let line = mark.line.expect("at a desk");
        let points: Vec<_> = line.elements().iter().filter_map(|e| e.end_point()).collect();
        assert_eq!(points[0].x, 1000.0, "from the edge of the sheet");
        assert!(points[1].x < desk.drawing.x1, "it turns off left of the cards");
        assert!((points[2].distance(mark.ring) - RING).abs() < 1e-9, "to the ring");
        assert_eq!(NowLine::new(&at, &layout(SheetFormat::Phone)).line, None, "the card is below");
    }
}
