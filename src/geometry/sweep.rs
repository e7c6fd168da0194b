use super::bounds::Bounds;
use super::posed::{Edge, FEATURE_SLACK, PosedPrism};
use nalgebra::{Point3, Vector3};

/// A body moving in a straight line towards a prism, and the first contact found so far.
pub(super) trait Sweep {
    /// Tries a corner.
    fn corner(&mut self, corner: &Point3<f64>);

    /// Tries an edge without its ends.
    fn edge(&mut self, edge: &Edge);

    /// Tries the inside of a face, given by a point of it, its outward unit normal, and whether the
    /// projection of a point onto its plane is on it.
    fn face(
        &mut self,
        at: &Point3<f64>,
        normal: &Vector3<f64>,
        covers: impl Fn(&Point3<f64>) -> bool,
    );
}

impl PosedPrism {
    /// Lets a sweep try every corner, edge and face near `swept`, the box around its path.
    pub(super) fn offer(&self, swept: Bounds, sweep: &mut impl Sweep) {
        let swept = swept.grown(FEATURE_SLACK);
        if !swept.meets(&self.bounds) {
            return;
        }
        for wall in self.walls.iter().filter(|w| w.bounds.meets(&swept)) {
            for corner in [&wall.foot, &wall.head] {
                if swept.holds(corner) {
                    sweep.corner(corner);
                }
            }
            for edge in wall.edges(self.up, self.height) {
                if swept.meets(&Bounds::around([&edge.from, &edge.at(edge.length)])) {
                    sweep.edge(&edge);
                }
            }
            sweep.face(&wall.foot, &wall.normal, |p| wall.covers(p, &self.up, self.height));
        }
        for (at, normal) in self.caps() {
            sweep.face(&at, &normal, |p| self.cap_covers(p));
        }
    }
}

/// The smaller root of `a t² + 2 b t + c = 0` if the quadratic becomes negative there, coming from
/// `t = 0`: `c ≥ 0`, `b < 0`.
///
/// This form has no cancellation for a root near 0.
pub(super) fn entering(a: f64, b: f64, c: f64) -> Option<f64> {
    if c < 0.0 || b >= 0.0 || a <= 0.0 {
        return None;
    }
    let d = b * b - a * c;
    (d >= 0.0).then(|| c / (d.sqrt() - b))
}
