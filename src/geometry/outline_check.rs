use super::outline::{MAX_COORDINATE_MM, MAX_CORNERS, Outline, OutlineError};
use nalgebra::{Point2, Vector2};

/// Corners nearer to each other than this are the same point, mm: a thousandth of the touch
/// repeatability.
const SAME_POINT: f64 = 1e-4;
/// Tolerance for roundings that just fit, mm: tangent points may coincide.
const FIT_SLACK: f64 = 1e-9;

impl Outline {
    /// Whether the outline is one closed, simple shape whose roundings fit.
    ///
    /// # Errors
    /// The first problem; corners and edges are counted from 0, edge `i` follows corner `i`.
    pub fn check(&self) -> Result<(), OutlineError> {
        let n = self.corners.len();
        if n < 3 {
            return Err(OutlineError::TooFewCorners(n));
        }
        if n > MAX_CORNERS {
            return Err(OutlineError::TooManyCorners(n));
        }
        for (i, c) in self.corners.iter().enumerate() {
            let usable = |v: f64| v.is_finite() && v.abs() <= MAX_COORDINATE_MM;
            if !(usable(c.at.x) && usable(c.at.y) && usable(c.radius) && c.radius >= 0.0) {
                return Err(OutlineError::BadNumber(i));
            }
        }
        for i in 0..n {
            let [_, here, next] = self.around(i);
            if (next.at - here.at).norm() < SAME_POINT {
                return Err(OutlineError::SamePoint(i, (i + 1) % n));
            }
        }
        let sharp: Vec<_> = self.corners.iter().map(|c| c.at).collect();
        if on_one_line(&sharp) {
            return Err(OutlineError::NoArea);
        }
        if let Some((i, j)) = first_crossing(&sharp) {
            return Err(OutlineError::Crossing(i, j));
        }
        self.check_roundings()
    }

    /// Scales down the radii of two roundings that do not fit on the edge between them, both by the
    /// same factor.
    pub fn fit_roundings(&mut self) {
        for i in 0..self.corners.len() {
            let j = (i + 1) % self.corners.len();
            let length = (self.corners[j].at - self.corners[i].at).norm();
            let needed = self.tangent_length(i) + self.tangent_length(j);
            if needed > length {
                self.corners[i].radius *= length / needed;
                self.corners[j].radius *= length / needed;
            }
        }
    }

    fn check_roundings(&self) -> Result<(), OutlineError> {
        let n = self.corners.len();
        let tangents: Vec<f64> = (0..n).map(|i| self.tangent_length(i)).collect();
        for i in 0..n {
            let [_, here, next] = self.around(i);
            let j = (i + 1) % n;
            if tangents[i] + tangents[j] > (next.at - here.at).norm() + FIT_SLACK {
                let worse = if tangents[i] >= tangents[j] { i } else { j };
                return Err(OutlineError::RadiusTooLarge(worse));
            }
        }
        // A notch may reach into the area that a rounding cuts off: the chamfered outline must not
        // cross itself.
        let (mut cut, mut owner) = (Vec::new(), Vec::new());
        for (i, t) in tangents.iter().enumerate() {
            let [before, here, after] = self.around(i);
            if *t > SAME_POINT {
                cut.push(here.at + (before.at - here.at).normalize() * *t);
                cut.push(here.at + (after.at - here.at).normalize() * *t);
                owner.extend([i, i]);
            } else {
                cut.push(here.at);
                owner.push(i);
            }
        }
        cut_duplicates(&mut cut, &mut owner);
        match first_crossing(&cut) {
            Some((i, j)) => {
                let round = |k: usize| self.corners[owner[k]].radius > 0.0;
                Err(OutlineError::RadiusTooLarge(owner[if round(i) { i } else { j }]))
            }
            None => Ok(()),
        }
    }

    /// Distance from corner `i` to the tangent points of its rounding, mm: r · tan(turn / 2).
    pub(super) fn tangent_length(&self, i: usize) -> f64 {
        let [before, here, after] = self.around(i);
        if here.radius == 0.0 {
            return 0.0;
        }
        let (u, v) = (here.at - before.at, after.at - here.at);
        let turn = libm::atan2(u.perp(&v), u.dot(&v)).abs();
        here.radius * libm::tan(turn / 2.0)
    }
}

/// Removes one of two equal neighbours: two roundings may share a tangent point.
fn cut_duplicates(points: &mut Vec<Point2<f64>>, owner: &mut Vec<usize>) {
    let mut i = 0;
    while i < points.len() && points.len() > 3 {
        let j = (i + 1) % points.len();
        if (points[j] - points[i]).norm() < SAME_POINT {
            points.remove(i);
            owner.remove(i);
        } else {
            i += 1;
        }
    }
}

/// Whether all points are on one line.
fn on_one_line(points: &[Point2<f64>]) -> bool {
    let first = points[0];
    let far = points.iter().map(|p| p - first).max_by(|a, b| a.norm().total_cmp(&b.norm()));
    let Some(far) = far.filter(|f| f.norm() > 0.0) else { return true };
    let u = far.normalize();
    points.iter().all(|p| u.perp(&(p - first)).abs() < SAME_POINT)
}

/// The first two edges of a closed loop that cross, touch or overlap, other than neighbours in
/// their common corner.
pub(super) fn first_crossing(points: &[Point2<f64>]) -> Option<(usize, usize)> {
    let n = points.len();
    let edge = |i: usize| (points[i], points[(i + 1) % n]);
    for i in 0..n {
        let (a, b) = edge(i);
        let c = points[(i + 2) % n];
        // Folding back on itself: the next edge lies on this one.
        let (u, v) = (b - a, c - b);
        if u.dot(&v) < 0.0 && u.perp(&v).abs() <= 1e-12 * u.norm() * v.norm() {
            return Some((i, (i + 1) % n));
        }
        for j in i + 2..n {
            if (j + 1) % n == i {
                continue;
            }
            if segments_meet((a, b), edge(j)) {
                return Some((i, j));
            }
        }
    }
    None
}

/// Whether two segments share a point.
pub(super) fn segments_meet(
    (a, b): (Point2<f64>, Point2<f64>),
    (c, d): (Point2<f64>, Point2<f64>),
) -> bool {
    let apart = |a: f64, b: f64, c: f64, d: f64| a.max(b) < c.min(d) || c.max(d) < a.min(b);
    if apart(a.x, b.x, c.x, d.x) || apart(a.y, b.y, c.y, d.y) {
        return false;
    }
    let side = |p: Point2<f64>, q: Point2<f64>, r: Point2<f64>| {
        let (u, v): (Vector2<f64>, Vector2<f64>) = (q - p, r - p);
        u.perp(&v)
    };
    let (s1, s2) = (side(a, b, c), side(a, b, d));
    let (s3, s4) = (side(c, d, a), side(c, d, b));
    s1 * s2 <= 0.0 && s3 * s4 <= 0.0
}
