//! Polylines: length, point at a length, and parts. Lengths in mm along the path, from its start.

use nalgebra::Point3;

/// Length of a path, mm.
pub fn length(path: &[Point3<f64>]) -> f64 {
    path.windows(2).map(|w| (w[1] - w[0]).norm()).sum()
}

/// The point `s` mm along the path; the nearer end if `s` is outside it.
///
/// # Panics
/// If the path is empty.
pub fn point_at(path: &[Point3<f64>], s: f64) -> Point3<f64> {
    let mut left = s.max(0.0);
    for w in path.windows(2) {
        let d = (w[1] - w[0]).norm();
        if left <= d && d > 0.0 {
            return w[0] + (w[1] - w[0]) * (left / d);
        }
        left -= d;
    }
    *path.last().expect("a path has at least one point")
}

/// The part of the path up to `s` mm from its start.
///
/// # Panics
/// If the path is empty.
pub fn head(path: &[Point3<f64>], s: f64) -> Vec<Point3<f64>> {
    let mut out = vec![path[0]];
    let mut done = 0.0;
    for w in path.windows(2) {
        let d = (w[1] - w[0]).norm();
        if done + d >= s {
            break;
        }
        done += d;
        out.push(w[1]);
    }
    out.push(point_at(path, s));
    out
}

/// The part of the path from `s` mm after its start.
///
/// # Panics
/// If the path is empty.
pub fn tail(path: &[Point3<f64>], s: f64) -> Vec<Point3<f64>> {
    let mut backwards: Vec<_> = path.iter().rev().copied().collect();
    backwards = head(&backwards, length(path) - s);
    backwards.reverse();
    backwards
}

/// Number of straight segments of a rounded corner.
const ROUNDING_CHORDS: usize = 8;

/// A rounded corner from `from` to `to`, tangent to both legs that meet at `corner`
/// (a parabola: constant acceleration from one leg to the other).
pub fn rounding(from: Point3<f64>, corner: Point3<f64>, to: Point3<f64>) -> Vec<Point3<f64>> {
    (0..=ROUNDING_CHORDS)
        .map(|i| {
            let t = i as f64 / ROUNDING_CHORDS as f64;
            let a = from + (corner - from) * t;
            let b = corner + (to - corner) * t;
            a + (b - a) * t
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corner() -> Vec<Point3<f64>> {
        vec![Point3::origin(), Point3::new(10.0, 0.0, 0.0), Point3::new(10.0, 5.0, 0.0)]
    }

    #[test]
    fn a_path_is_cut_where_asked() {
        let p = corner();
        assert_eq!(length(&p), 15.0, "10 along X, 5 along Y");
        assert_eq!(point_at(&p, 12.0), Point3::new(10.0, 2.0, 0.0), "2 mm round the corner");
        assert_eq!(
            head(&p, 4.0),
            vec![p[0], Point3::new(4.0, 0.0, 0.0)],
            "inside the first stretch"
        );
        assert_eq!(length(&head(&p, 12.0)) + length(&tail(&p, 12.0)), 15.0, "nothing is lost");
        assert_eq!(tail(&p, 12.0), vec![Point3::new(10.0, 2.0, 0.0), p[2]], "the rest");
    }

    #[test]
    fn a_rounding_leaves_and_joins_its_legs() {
        let p = corner();
        let r = rounding(Point3::new(6.0, 0.0, 0.0), p[1], Point3::new(10.0, 4.0, 0.0));
        assert_eq!(r[0], Point3::new(6.0, 0.0, 0.0), "starts on the first leg");
        assert_eq!(r[8], Point3::new(10.0, 4.0, 0.0), "ends on the second");
        assert!(r.iter().all(|q| q.x <= 10.0 && q.y >= 0.0), "stays inside the corner: {r:?}");
    }
}
