use super::posed::{Edge, FEATURE_SLACK, PosedPrism};
use super::sweep::{Sweep, entering};
use super::wire::{Contact, UprightWire};
use nalgebra::{Point3, Vector2, Vector3};

/// Sine of the angle to the wire below which an edge counts as parallel to it. Its contacts are then
/// those of its corners and of the wire's ends, which are tried anyway.
const PARALLEL: f64 = 1e-9;

impl PosedPrism {
    /// First contact of a wire that moves along the unit vector `direction` with this prism.
    ///
    /// Exact: the earliest of the closed-form contacts of all pairs of features. The wire's
    /// features are its two end spheres and the cylinder between them, the prism's are its faces,
    /// edges and corners. The wire must start clear; `None` without contact within `reach`, mm.
    pub fn first_contact(
        &self,
        wire: &UprightWire,
        direction: &Vector3<f64>,
        reach: f64,
    ) -> Option<Contact> {
        let mut sweep = WireSweep { wire, direction, reach, first: None };
        self.offer(wire.bounds().swept(&(direction * reach)), &mut sweep);
        sweep.first
    }
}

struct WireSweep<'a> {
    wire: &'a UprightWire,
    direction: &'a Vector3<f64>,
    reach: f64,
    first: Option<Contact>,
}

impl Sweep for WireSweep<'_> {
    fn corner(&mut self, corner: &Point3<f64>) {
        let (d, r) = (*self.direction, self.wire.radius);
        for end in self.ends() {
            let m = end - corner;
            if let Some(t) = entering(1.0, m.dot(&d), m.norm_squared() - r * r)
                && self.counts(t)
            {
                self.meet(t, *corner, end + d * t);
            }
        }
        // The cylinder: the same on the plan.
        let m = (self.wire.centre - corner).xy();
        let (a, b) = (d.xy().norm_squared(), m.dot(&d.xy()));
        if let Some(t) = entering(a, b, m.norm_squared() - r * r)
            && self.counts(t)
        {
            let c = self.wire.centre + d * t;
            if self.spans(&c, corner.z) {
                self.meet(t, *corner, Point3::new(c.x, c.y, corner.z));
            }
        }
    }

    fn edge(&mut self, edge: &Edge) {
        let (d, r) = (*self.direction, self.wire.radius);
        // An end sphere and the edge: a circle and a point in the plane across the edge.
        let d_across = d - edge.along * d.dot(&edge.along);
        for end in self.ends() {
            let m = end - edge.from;
            let m_across = m - edge.along * m.dot(&edge.along);
            let c = m_across.norm_squared() - r * r;
            if let Some(t) = entering(d_across.norm_squared(), m_across.dot(&d_across), c)
                && self.counts(t)
            {
                let centre = end + d * t;
                let s = (centre - edge.from).dot(&edge.along);
                if edge.reaches(s) {
                    self.meet(t, edge.at(s), centre);
                }
            }
        }
        // The cylinder and the edge: two lines at a distance of one radius.
        let plan = edge.along.xy();
        if plan.norm() < PARALLEL {
            return;
        }
        let n = Vector2::new(-plan.y, plan.x) / plan.norm();
        let w = (self.wire.centre - edge.from).xy().dot(&n);
        let closing = -d.xy().dot(&n) * w.signum();
        if closing <= 0.0 || w.abs() < r {
            return;
        }
        let t = (w.abs() - r) / closing;
        if !self.counts(t) {
            return;
        }
        let c = self.wire.centre + d * t;
        let s = (c - edge.from).xy().dot(&plan) / plan.norm_squared();
        let p = edge.at(s);
        if edge.reaches(s) && self.spans(&c, p.z) {
            self.meet(t, p, Point3::new(c.x, c.y, p.z));
        }
    }

    // Only the ends can meet the inside of a face first.
    fn face(
        &mut self,
        at: &Point3<f64>,
        normal: &Vector3<f64>,
        covers: impl Fn(&Point3<f64>) -> bool,
    ) {
        let closing = -self.direction.dot(normal);
        if closing <= 0.0 {
            return;
        }
        for end in self.ends() {
            let gap = (end - at).dot(normal) - self.wire.radius;
            let t = gap / closing;
            if gap < -FEATURE_SLACK || !self.counts(t) {
                continue;
            }
            let centre = end + self.direction * t;
            let p = centre - normal * self.wire.radius;
            if covers(&p) {
                self.first = Some(Contact { travel: t.max(0.0), point: p, normal: *normal });
            }
        }
    }
}

impl WireSweep<'_> {
    fn ends(&self) -> [Point3<f64>; 2] {
        let c = self.wire.centre;
        [c, c + Vector3::z() * self.wire.length]
    }

    /// Whether a contact after this travel, mm, would be the first.
    fn counts(&self, travel: f64) -> bool {
        travel <= self.first.map_or(self.reach, |f| f.travel)
    }

    /// Records a contact; `axis` is the point of the wire's axis nearest to the body.
    fn meet(&mut self, travel: f64, point: Point3<f64>, axis: Point3<f64>) {
        let v = axis - point;
        let normal = if v.norm() > 0.0 { v.normalize() } else { -self.direction };
        self.first = Some(Contact { travel: travel.max(0.0), point, normal });
    }

    /// Whether the wire's cylinder, its lower end at `c`, includes the height `z`.
    fn spans(&self, c: &Point3<f64>, z: f64) -> bool {
        c.z - FEATURE_SLACK <= z && z <= c.z + self.wire.length + FEATURE_SLACK
    }
}
