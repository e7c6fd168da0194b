use super::bounds::Bounds;
use super::posed::{Edge, FEATURE_SLACK, PosedPrism};
use nalgebra::{Point3, Vector3};

/// Something on its straight way to a prism, and the first contact it has found so far.
pub(super) trait Sweep {
    /// Tries a corner.
    fn corner(&mut self, corner: &Point3<f64>);

    /// Tries an edge, its ends left out.
    fn edge(&mut self, edge: &Edge);

    /// Tries the inside of a face: a point of it, the unit vector out of it, and whether it covers
    /// the foot of a point on its plane.
    fn face(
        &mut self,
        at: &Point3<f64>,
        normal: &Vector3<f64>,
        covers: impl Fn(&Point3<f64>) -> bool,
    );
}

impl PosedPrism {
    /// Lets a sweep try every corner, edge and face that the box around its way can reach.
    pub(super) fn offer(&self, way: Bounds, sweep: &mut impl Sweep) {
        let way = way.grown(FEATURE_SLACK);
        if !way.meets(&self.bounds) {
            return;
        }
        for wall in self.walls.iter().filter(|w| w.bounds.meets(&way)) {
            sweep.corner(&wall.foot);
            sweep.corner(&wall.head);
            for edge in wall.edges(self.up, self.height) {
                sweep.edge(&edge);
            }
            sweep.face(&wall.foot, &wall.normal, |p| wall.covers(p, &self.up, self.height));
        }
        for (at, normal) in self.caps() {
            sweep.face(&at, &normal, |p| self.cap_covers(p));
        }
    }
}

/// The smaller root of `a t² + 2 b t + c = 0` if it is entered there from outside: `c ≥ 0`, `b < 0`.
///
/// Written so that nothing cancels when the root is near 0.
pub(super) fn entering(a: f64, b: f64, c: f64) -> Option<f64> {
    if c < 0.0 || b >= 0.0 || a <= 0.0 {
        return None;
    }
    let d = b * b - a * c;
    (d >= 0.0).then(|| c / (d.sqrt() - b))
}
