use super::engine::Cell;
use crate::geometry::{Bounds, Point3, Vector2, Vector3, wrapped};
use std::f64::consts::{FRAC_PI_2, PI};

/// Greatest distance between a curved path and the chords that replace it, mm: below the touch
/// repeatability and below what is visible.
pub const PATH_TOLERANCE_MM: f64 = 0.02;
/// Greatest number of chords of one move.
const MAX_CHORDS: f64 = 2000.0;

impl Cell {
    /// The path of a joint move, work frame, mm: radius, bearing and height about the arm's base change
    /// at constant rates, so the path on the plan is an arc.
    ///
    /// Both ends are exact; chords between them, within [`PATH_TOLERANCE_MM`].
    pub fn joint_path(&self, from: &Point3<f64>, to: &Point3<f64>) -> Vec<Point3<f64>> {
        let [bx, by] = self.part().arm_base;
        let polar = |p: &Point3<f64>| {
            let (x, y) = (p.x - bx, p.y - by);
            (libm::hypot(x, y), libm::atan2(y, x))
        };
        let ((r0, a0), (r1, a1)) = (polar(from), polar(to));
        let turn = wrapped(a1 - a0);
        // Distance of a spiral from its chord: at most ⅛ h² max|p″| with p″ = (−ρ θ′², 2 ρ′ θ′).
        let bend = libm::hypot(r0.max(r1) * turn * turn, 2.0 * (r1 - r0) * turn);
        let n = (bend / (8.0 * PATH_TOLERANCE_MM)).sqrt().ceil().clamp(1.0, MAX_CHORDS) as usize;
        let mut path = Vec::with_capacity(n + 1);
        path.push(*from);
        // The bearing goes on by the same turn with each chord.
        let (sin_step, cos_step) = libm::sincos(turn / n as f64);
        let (mut sin, mut cos) = libm::sincos(a0);
        for k in 1..n {
            let s = k as f64 / n as f64;
            let r = r0 + (r1 - r0) * s;
            (sin, cos) = (sin * cos_step + cos * sin_step, cos * cos_step - sin * sin_step);
            path.push(Point3::new(bx + r * cos, by + r * sin, from.z + (to.z - from.z) * s));
        }
        path.push(*to);
        path
    }

    /// A box that holds the path of a joint move, work frame, mm; somewhat larger than the smallest one,
    /// and quickly found.
    pub(super) fn joint_range(&self, from: &Point3<f64>, to: &Point3<f64>) -> Bounds {
        let [bx, by] = self.part().arm_base;
        let radius = |p: &Point3<f64>| Vector2::new(p.x - bx, p.y - by).norm();
        let (r0, r1) = (radius(from), radius(to));
        // Two points as far from the base as `least` or further see it under an angle θ, and are at
        // least 2 least sin(θ/2) ≥ 2 least θ/π apart.
        let turn = FRAC_PI_2 * (to - from).xy().norm() / r0.min(r1);
        // As above: the greatest distance from the straight line.
        let bow = if turn < PI {
            (r0.max(r1) * turn * turn + 2.0 * (r1 - r0).abs() * turn) / 8.0
        } else {
            f64::INFINITY
        };
        let out = Vector3::new(bow, bow, 0.0);
        let Bounds { lo, hi } = Bounds::around(&[*from, *to]);
        Bounds { lo: lo - out, hi: hi + out }
    }
}
