//! From a B-spline as files have it to Bézier curves, one for each stretch between its knots.

use super::bezier::Bezier;
use kurbo::Point;

/// Highest degree that is read: no program draws higher ones.
const MOST_DEGREE: usize = 15;

/// A B-spline, rational where it has weights.
pub(super) struct Spline<'a> {
    pub(super) degree: usize,
    pub(super) knots: &'a [f64],
    pub(super) points: Vec<Point>,
    /// None, or one for each point.
    pub(super) weights: &'a [f64],
}

impl Spline<'_> {
    /// Its Bézier curves in order.
    ///
    /// # Errors
    /// What is wrong with it.
    pub(super) fn curves(&self) -> Result<Vec<Bezier>, String> {
        self.check()?;
        let (d, n) = (self.degree, self.points.len());
        // Between these the curve runs, clamped at its ends or not.
        let curves = (d..n).filter(|k| self.knots[k + 1] > self.knots[*k]).map(|k| self.bezier(k));
        let curves: Vec<Bezier> = curves.collect();
        if curves.is_empty() { Err("all knots are the same".into()) } else { Ok(curves) }
    }

    fn check(&self) -> Result<(), String> {
        let (d, n) = (self.degree, self.points.len());
        if d == 0 || d > MOST_DEGREE {
            return Err(format!("expected a degree of 1 to {MOST_DEGREE}, and found {d}"));
        }
        if n <= d {
            return Err(format!("expected more than {d} control points, and found {n}"));
        }
        if self.knots.len() != n + d + 1 {
            let found = self.knots.len();
            return Err(format!("expected {} knots, and found {found}", n + d + 1));
        }
        if !self.knots.is_sorted() || self.knots.iter().any(|knot| !knot.is_finite()) {
            return Err("expected knots that never fall".into());
        }
        let weights = self.weights;
        if !(weights.is_empty() || weights.len() == n) {
            return Err(format!("expected {n} weights, and found {}", weights.len()));
        }
        if weights.iter().any(|w| !(1e-9..=1e9).contains(w)) {
            return Err("expected positive weights".into());
        }
        Ok(())
    }

    /// The curve between knots `k` and `k + 1`. Control point `j` of it is the blossom of the spline at
    /// `d − j` times the one knot and `j` times the other.
    fn bezier(&self, k: usize) -> Bezier {
        let (a, b) = (self.knots[k], self.knots[k + 1]);
        let at = |j: usize| {
            let [x, y, w] = self.blossom(k, |i| if i < j { b } else { a });
            (Point::new(x / w, y / w), w)
        };
        Bezier::weighted((0..=self.degree).map(at).collect())
    }

    /// De Boor's algorithm with an argument of its own for each round.
    fn blossom(&self, k: usize, argument: impl Fn(usize) -> f64) -> [f64; 3] {
        let d = self.degree;
        let homogeneous = |i: usize| {
            let (p, w) = (self.points[i], self.weights.get(i).copied().unwrap_or(1.0));
            [p.x * w, p.y * w, w]
        };
        let mut row: Vec<[f64; 3]> = (k - d..=k).map(homogeneous).collect();
        for round in 1..=d {
            for j in (round..=d).rev() {
                let (low, high) = (self.knots[j + k - d], self.knots[j + 1 + k - round]);
                let share = (argument(round - 1) - low) / (high - low);
                row[j] = std::array::from_fn(|c| row[j - 1][c] * (1.0 - share) + row[j][c] * share);
            }
        }
        row[d]
    }
}
