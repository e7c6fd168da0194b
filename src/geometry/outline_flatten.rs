use super::outline::{CHORD_TOLERANCE_MM, Outline};
use super::polygon::signed_area;
use nalgebra::{Point2, Rotation2};
use std::f64::consts::PI;

impl Outline {
    /// The outline as a polygon, mm, counter-clockwise seen from +Z, with chords for its roundings.
    ///
    /// The ends of the chords are on the exact arc; the polygon is nowhere farther from it than
    /// [`CHORD_TOLERANCE_MM`]. The outline must pass [`Outline::check`].
    pub fn flattened(&self) -> Vec<Point2<f64>> {
        let mut points = Vec::with_capacity(self.corners.len());
        for i in 0..self.corners.len() {
            self.push_corner(i, &mut points);
        }
        if signed_area(&points) < 0.0 {
            points.reverse();
        }
        points
    }

    fn push_corner(&self, i: usize, points: &mut Vec<Point2<f64>>) {
        let [before, here, after] = self.around(i);
        let tangent = self.tangent_length(i);
        if tangent <= CHORD_TOLERANCE_MM {
            points.push(here.at);
            return;
        }
        let (u, v) = ((before.at - here.at).normalize(), (after.at - here.at).normalize());
        // Interior angle φ between the edges; the arc sweeps π − φ.
        let phi = libm::atan2(u.perp(&v), u.dot(&v));
        let sweep = PI - phi.abs();
        let centre = here.at + (u + v).normalize() * (here.radius / libm::sin(phi.abs() / 2.0));
        let spoke = here.at + u * tangent - centre;
        let chord = 2.0 * libm::acos((1.0 - CHORD_TOLERANCE_MM / here.radius).max(0.0));
        let n = (sweep / chord).ceil().max(1.0);
        let step = -phi.signum() * sweep / n;
        for k in 0..=n as usize {
            let p = centre + Rotation2::new(step * k as f64) * spoke;
            if points.last().is_none_or(|q| (p - q).norm() > 1e-9) {
                points.push(p);
            }
        }
    }
}
