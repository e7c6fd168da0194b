use super::engine::Cell;
use crate::geometry::Point3;
use std::f64::consts::{PI, TAU};

/// Greatest distance between a curved path and the chords that stand for it, mm: below anything
/// seen or felt.
pub const PATH_TOLERANCE: f64 = 0.02;
/// Most chords one move may have, whatever is asked of it.
const MAX_CHORDS: f64 = 2000.0;

impl Cell {
    /// The path of a joint move: radius, bearing and height about the arm's base change evenly,
    /// so the path on the plan is an arc where a straight one would be a chord.
    ///
    /// Both ends are exact; chords between, within [`PATH_TOLERANCE`].
    pub fn joint_path(&self, from: &Point3<f64>, to: &Point3<f64>) -> Vec<Point3<f64>> {
        let [bx, by] = self.part().arm_base;
        let polar = |p: &Point3<f64>| {
            let (x, y) = (p.x - bx, p.y - by);
            (x.hypot(y), y.atan2(x))
        };
        let ((r0, a0), (r1, a1)) = (polar(from), polar(to));
        let turn = (a1 - a0 + PI).rem_euclid(TAU) - PI;
        // A spiral's distance from its chord is at most ⅛ h² max|p″| with p″ = (−ρ θ′², 2 ρ′ θ′).
        let bend = (r0.max(r1) * turn * turn).hypot(2.0 * (r1 - r0) * turn);
        let n = (bend / (8.0 * PATH_TOLERANCE)).sqrt().ceil().clamp(1.0, MAX_CHORDS) as usize;
        let mut path = vec![*from];
        for k in 1..n {
            let s = k as f64 / n as f64;
            let (r, a) = (r0 + (r1 - r0) * s, a0 + turn * s);
            path.push(Point3::new(
                bx + r * a.cos(),
                by + r * a.sin(),
                from.z + (to.z - from.z) * s,
            ));
        }
        path.push(*to);
        path
    }
}

/// Length of a path, mm.
pub fn path_length(path: &[Point3<f64>]) -> f64 {
    path.windows(2).map(|w| (w[1] - w[0]).norm()).sum()
}

/// The point `along` mm from the start of a path; its ends if that is beyond them. `None` for an
/// empty path.
pub fn point_along(path: &[Point3<f64>], along: f64) -> Option<Point3<f64>> {
    let mut left = along.max(0.0);
    for w in path.windows(2) {
        let length = (w[1] - w[0]).norm();
        if left <= length && length > 0.0 {
            return Some(w[0] + (w[1] - w[0]) * (left / length));
        }
        left -= length;
    }
    path.last().copied()
}

/// A path that stops `by` mm before its end; what a search starts from after a blended arrival.
/// Never more than half of the path is left out.
pub fn cut_short(path: &[Point3<f64>], by: f64) -> Vec<Point3<f64>> {
    let whole = path_length(path);
    let keep = whole - by.clamp(0.0, whole / 2.0);
    up_to(path, keep)
}

/// Two moves with the corner between them rounded.
#[derive(Debug, Clone, PartialEq)]
pub struct Rounded {
    /// The first move up to where the torch leaves it.
    pub before: Vec<Point3<f64>>,
    /// The rounding, from there to where it joins the second.
    pub corner: Vec<Point3<f64>>,
    /// The rest of the second move.
    pub after: Vec<Point3<f64>>,
}

/// Round the corner where `outgoing` follows `incoming`: leave the first path `blend` mm before
/// the corner and join the second as far behind it, along the parabola that touches both.
///
/// Never more than half of either path is cut off.
pub fn round_corner(incoming: &[Point3<f64>], outgoing: &[Point3<f64>], blend: f64) -> Rounded {
    let cut = blend.clamp(0.0, path_length(incoming).min(path_length(outgoing)) / 2.0);
    let before = cut_short(incoming, cut);
    let mut back: Vec<_> = outgoing.iter().rev().copied().collect();
    back = cut_short(&back, cut);
    let after: Vec<_> = back.into_iter().rev().collect();
    let corner = match (before.last(), incoming.last(), after.first()) {
        (Some(a), Some(b), Some(c)) if cut > 0.0 => parabola(a, b, c),
        _ => Vec::new(),
    };
    Rounded { before, corner, after }
}

fn parabola(a: &Point3<f64>, b: &Point3<f64>, c: &Point3<f64>) -> Vec<Point3<f64>> {
    // p″ = 2 (a − 2 b + c) everywhere.
    let bend = 2.0 * ((a - b) + (c - b)).norm();
    let n = (bend / (8.0 * PATH_TOLERANCE)).sqrt().ceil().clamp(1.0, MAX_CHORDS) as usize;
    let at = |k: usize| {
        let s = k as f64 / n as f64;
        b + (a - b) * ((1.0 - s) * (1.0 - s)) + (c - b) * (s * s)
    };
    (0..=n).map(at).collect()
}

fn up_to(path: &[Point3<f64>], along: f64) -> Vec<Point3<f64>> {
    let mut kept = Vec::with_capacity(path.len());
    let mut left = along;
    kept.extend(path.first());
    for w in path.windows(2) {
        let length = (w[1] - w[0]).norm();
        if left < length {
            kept.push(w[0] + (w[1] - w[0]) * (left / length));
            break;
        }
        kept.push(w[1]);
        left -= length;
    }
    kept
}
