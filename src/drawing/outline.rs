use super::curve::Curve;
use super::remark::Element;
use kurbo::Point;

/// Greatest distance between a curve and the chords that replace it, mm: a tenth of the touch
/// repeatability.
pub const CHORD_MM: f64 = 0.01;

/// Curves joined end to end, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Chain {
    /// In order.
    pub curves: Vec<Curve>,
    /// The first element of it.
    pub element: Element,
    /// The greatest gap between two ends that were joined, mm.
    pub gap_mm: f64,
}

impl Chain {
    /// As points, the first of them where it begins; nowhere are the chords between them farther from
    /// the curves than `tolerance`.
    pub fn points(&self, tolerance: f64) -> Vec<Point> {
        let mut points = Vec::new();
        for curve in &self.curves {
            let start = curve.start();
            if points.last().is_none_or(|last: &Point| last.distance(start) > SAME_MM) {
                points.push(start);
            }
            curve.flatten(tolerance, &mut points);
        }
        points
    }

    /// From its end to its start, mm.
    pub fn open_by_mm(&self) -> f64 {
        match (self.curves.first(), self.curves.last()) {
            (Some(first), Some(last)) => last.end().distance(first.start()),
            _ => 0.0,
        }
    }
}

/// Points nearer to each other than this are the same, mm: what rounding leaves.
pub(super) const SAME_MM: f64 = 1e-6;

/// A closed outline, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Closed(pub Chain);

impl Closed {
    /// As the corners of a polygon, the last of which joins the first; nowhere are its sides farther
    /// from the outline than `tolerance`.
    pub fn polygon(&self, tolerance: f64) -> Vec<Point> {
        let mut points = self.0.points(tolerance);
        while points.len() > 1 && points[points.len() - 1].distance(points[0]) <= SAME_MM {
            points.pop();
        }
        points
    }
}

/// Area within a polygon, mm² (shoelace formula), and its perimeter, mm.
pub fn area_and_perimeter(polygon: &[Point]) -> (f64, f64) {
    let (mut twice, mut perimeter) = (0.0, 0.0);
    for (i, p) in polygon.iter().enumerate() {
        let q = polygon[(i + 1) % polygon.len()];
        // From the first corner, so that a far origin costs no digits.
        twice += (*p - polygon[0]).cross(q - polygon[0]);
        perimeter += p.distance(q);
    }
    (twice.abs() / 2.0, perimeter)
}
