use kurbo::{Affine, Point};

/// Halvings after which a curve counts as flat: a piece of 100 m is 6 µm long by then.
const MOST_HALVINGS: u32 = 24;

/// A rational Bézier curve of any degree. A point of it lies in the hull of its control points, since
/// all weights are positive.
#[derive(Debug, Clone, PartialEq)]
pub struct Bezier {
    /// Control points with their weights, two at least.
    points: Vec<(Point, f64)>,
}

impl Bezier {
    /// With all weights the same.
    pub(super) fn new(points: &[Point]) -> Self {
        Self { points: points.iter().map(|p| (*p, 1.0)).collect() }
    }

    /// With a positive weight for each point.
    pub(super) fn weighted(points: Vec<(Point, f64)>) -> Self {
        Self { points }
    }

    pub(super) fn start(&self) -> Point {
        self.points[0].0
    }

    pub(super) fn end(&self) -> Point {
        self.points[self.points.len() - 1].0
    }

    pub(super) fn hull(&self) -> impl Iterator<Item = Point> {
        self.points.iter().map(|(p, _)| *p)
    }

    pub(super) fn reversed(&self) -> Self {
        Self { points: self.points.iter().rev().copied().collect() }
    }

    /// An affine map takes the curve to that of the mapped control points.
    pub(super) fn mapped(&self, map: Affine) -> Self {
        Self { points: self.points.iter().map(|(p, w)| (map * *p, *w)).collect() }
    }

    /// Adds the ends of chords that are nowhere farther from the curve than `tolerance`; its start is
    /// left out.
    pub(super) fn flatten(&self, tolerance: f64, points: &mut Vec<Point>) {
        // Left halves come first, so the right ones wait.
        let mut waiting = vec![(self.clone(), 0)];
        while let Some((piece, halvings)) = waiting.pop() {
            if halvings == MOST_HALVINGS || piece.is_flat(tolerance) {
                points.push(piece.end());
            } else {
                let (left, right) = piece.halves();
                waiting.push((right, halvings + 1));
                waiting.push((left, halvings + 1));
            }
        }
    }

    /// Whether all control points are that near to the chord, and so all of the curve.
    fn is_flat(&self, tolerance: f64) -> bool {
        let (a, b) = (self.start(), self.end());
        let chord = b - a;
        let near = |p: Point| {
            let along = ((p - a).dot(chord) / chord.hypot2()).clamp(0.0, 1.0);
            // Without a chord the share is not a number, and the distance that from its ends.
            let foot = if along.is_nan() { a } else { a + chord * along };
            (p - foot).hypot2() <= tolerance * tolerance
        };
        self.hull().all(near)
    }

    /// De Casteljau's algorithm at the middle, in homogeneous coordinates.
    fn halves(&self) -> (Self, Self) {
        let n = self.points.len();
        let mut row: Vec<[f64; 3]> =
            self.points.iter().map(|(p, w)| [p.x * w, p.y * w, *w]).collect();
        let point = |[x, y, w]: [f64; 3]| (Point::new(x / w, y / w), w);
        let (mut left, mut right) = (Vec::with_capacity(n), Vec::with_capacity(n));
        for k in (0..n).rev() {
            left.push(point(row[0]));
            right.push(point(row[k]));
            for i in 0..k {
                row[i] = std::array::from_fn(|c| f64::midpoint(row[i][c], row[i + 1][c]));
            }
        }
        right.reverse();
        (Self { points: left }, Self { points: right })
    }
}
