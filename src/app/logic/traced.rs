//! A drawing that was read: its outlines in pixels, and the edges of one of them that can lie in front.

use super::svg_path::{polygon, polyline};
use kurbo::{BezPath, Point, Rect};
use nudgeproof::cell::{OutlineDraft, OutlinePartError};
use nudgeproof::drawing::DrawingReport;

/// So many of the longest edges are offered.
const MOST_FRONTS: usize = 12;
/// What an edge in front measures at least, mm.
const FRONT_MM: f64 = 40.0;
/// Of the picture, pixels: its size, and what stays free around the drawing.
const SIZE: [f64; 2] = [520.0, 320.0];
const MARGIN: f64 = 26.0;
/// From an edge to its number, pixels.
const NUMBER_OFF: f64 = 15.0;

/// The outline at hand among those of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Traced {
    pub(crate) size: [f64; 2],
    /// Every closed outline.
    pub(crate) outlines: Vec<BezPath>,
    /// What stayed open.
    pub(crate) open: Vec<BezPath>,
    /// The edges that can lie in front, the longest first.
    pub(crate) fronts: Vec<Front>,
    /// The outline at hand: corners and holes, mm.
    pub(crate) corners: Vec<[f64; 2]>,
    pub(crate) holes: Vec<Vec<[f64; 2]>>,
}

/// An edge that can lie in front.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Front {
    pub(crate) edge: usize,
    pub(crate) length_mm: f64,
    pub(crate) line: [Point; 2],
    /// Where its number stands.
    pub(crate) number: Point,
    /// Height of its middle, mm.
    low: f64,
}

impl Traced {
    /// `None` where the drawing has no such outline.
    pub(crate) fn new(report: &DrawingReport, outline: usize) -> Option<Self> {
        let at_hand = report.outlines.get(outline)?;
        let all = report.outlines.iter().map(|o| &o.corners);
        let all = all.chain(report.open.iter().map(|o| &o.points)).flatten();
        let mut bounds = Rect::from_points(point(at_hand.corners[0]), point(at_hand.corners[0]));
        for p in all {
            bounds = bounds.union_pt(point(*p));
        }
        let room = [0, 1].map(|i| SIZE[i] - 2.0 * MARGIN);
        let scale = (room[0] / bounds.width()).min(room[1] / bounds.height());
        let size = [bounds.width() * scale, bounds.height() * scale].map(|v| v + 2.0 * MARGIN);
        let at = |p: &[f64; 2]| {
            Point::new(
                MARGIN + (p[0] - bounds.x0) * scale,
                size[1] - MARGIN - (p[1] - bounds.y0) * scale,
            )
        };
        let corners = at_hand.corners.clone();
        let holes: Vec<_> = report.within(outline).map(|hole| hole.corners.clone()).collect();
        let mut fronts: Vec<Front> = edges(&corners)
            .filter(|(_, a, b)| distance(*a, *b) >= FRONT_MM)
            .filter(|(edge, ..)| OutlineDraft::new(&corners, &holes, *edge, "").is_ok())
            .map(|(edge, a, b)| {
                let line = [at(&a), at(&b)];
                let way = line[1] - line[0];
                // Outlines run counter-clockwise: outside is on the right, and y points down.
                let out = kurbo::Vec2::new(-way.y, way.x) / way.hypot();
                Front {
                    edge,
                    length_mm: distance(a, b),
                    line,
                    number: line[0].midpoint(line[1]) + out * NUMBER_OFF,
                    low: f64::midpoint(a[1], b[1]),
                }
            })
            .collect();
        fronts.sort_by(|a, b| b.length_mm.total_cmp(&a.length_mm));
        fronts.truncate(MOST_FRONTS);
        let outlines = report.outlines.iter().map(|o| polygon(o.corners.iter().map(at))).collect();
        let open = report.open.iter().map(|o| polyline(o.points.iter().map(at))).collect();
        Some(Self { size, outlines, open, fronts, corners, holes })
    }

    /// The edge that lies lowest in the drawing, of those that can lie in front.
    pub(crate) fn lowest(&self) -> Option<usize> {
        let lowest = self.fronts.iter().min_by(|a, b| a.low.total_cmp(&b.low));
        lowest.map(|front| front.edge)
    }

    /// A plate of the outline, with this edge in front.
    pub(crate) fn draft(
        &self,
        front: usize,
        title: &str,
    ) -> Result<OutlineDraft, OutlinePartError> {
        OutlineDraft::new(&self.corners, &self.holes, front, title)
    }

    /// What the outline measures along X and Y, mm.
    pub(crate) fn measures(corners: &[[f64; 2]]) -> [f64; 2] {
        [0, 1].map(|i| {
            let values = || corners.iter().map(|p| p[i]);
            values().fold(f64::MIN, f64::max) - values().fold(f64::MAX, f64::min)
        })
    }
}

fn edges(corners: &[[f64; 2]]) -> impl Iterator<Item = (usize, [f64; 2], [f64; 2])> {
    let ends = corners.iter().zip(corners.iter().cycle().skip(1));
    ends.enumerate().map(|(i, (a, b))| (i, *a, *b))
}

fn point([x, y]: [f64; 2]) -> Point {
    Point::new(x, y)
}

fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    point(a).distance(point(b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::drawing::report;

    /// A plate of 300 × 200 mm with its upper right corner cut off, and a hole; beside it an open line.
    fn drawing() -> DrawingReport {
        let file = r#"<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="300mm" viewBox="0 0 500 300">
            <path d="M0 300 H300 V200 L200 100 H0 Z"/><circle cx="60" cy="200" r="20"/><path d="M400 300 V200"/></svg>"#;
        report(file.as_bytes(), None).expect("a drawing")
    }

    #[test]
    fn the_lowest_edge_comes_first_and_a_notch_none() {
        let traced = Traced::new(&drawing(), 0).expect("an outline");
        assert_eq!((traced.outlines.len(), traced.open.len(), traced.holes.len()), (2, 1, 1));
        assert_eq!(traced.fronts.len(), 5, "every edge of a convex plate can lie in front");
        assert!(traced.fronts.windows(2).all(|w| w[0].length_mm >= w[1].length_mm));
        let lowest = traced.lowest().expect("an edge");
        let front = traced.fronts.iter().find(|f| f.edge == lowest).expect("it is offered");
        assert!((front.length_mm - 300.0).abs() < 1e-9, "{}", front.length_mm);
        // Its number stands below it.
        assert!(front.number.y > front.line[0].y);
        let draft = traced.draft(lowest, "Plate").expect("a plate");
        assert!(draft.part().is_ok(), "{:?}", draft.part());
        let measures = Traced::measures(&traced.corners);
        assert!((measures[0] - 300.0).hypot(measures[1] - 200.0) < 1e-9, "{measures:?}");
        assert_eq!(Traced::new(&drawing(), 7), None);
    }

    #[test]
    fn all_of_it_lies_within_the_picture() {
        let traced = Traced::new(&drawing(), 1).expect("an outline");
        assert!(traced.fronts.is_empty(), "a circle has no edge to lie in front");
        use kurbo::Shape;
        for path in traced.outlines.iter().chain(&traced.open) {
            let b = path.bounding_box();
            assert!(b.x0 >= 0.0 && b.y0 >= 0.0 && b.x1 <= traced.size[0] && b.y1 <= traced.size[1]);
        }
        assert!(traced.size[0] <= SIZE[0] + 0.1 && traced.size[1] <= SIZE[1] + 0.1);
    }
}
