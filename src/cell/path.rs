use super::engine::Cell;
use crate::geometry::{Point3, wrapped};

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
        let mut path = vec![*from];
        for k in 1..n {
            let s = k as f64 / n as f64;
            let (r, a) = (r0 + (r1 - r0) * s, a0 + turn * s);
            path.push(Point3::new(
                bx + r * libm::cos(a),
                by + r * libm::sin(a),
                from.z + (to.z - from.z) * s,
            ));
        }
        path.push(*to);
        path
    }
}
