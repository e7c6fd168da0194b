use super::nozzle::UprightNozzle;
use super::posed::{Edge, FEATURE_SLACK, PosedPrism};
use super::sweep::{Sweep, entering};
use super::wire::Contact;
use nalgebra::{Point3, Vector2, Vector3};

/// Slope below which an edge counts as level, a face as level or upright. Its contacts are then
/// those of its corners and edges, which are tried anyway.
const LEVEL: f64 = 1e-9;

impl PosedPrism {
    /// First contact of a nozzle that moves along the unit vector `direction` with this prism.
    ///
    /// Exact, as [`PosedPrism::first_contact`]: the nozzle's features are its side, its rim and
    /// its lower face. It must start clear; `None` without contact within `reach`, mm.
    pub fn first_nozzle_contact(
        &self,
        nozzle: &UprightNozzle,
        direction: &Vector3<f64>,
        reach: f64,
    ) -> Option<Contact> {
        let mut sweep = NozzleSweep { nozzle, direction, reach, first: None };
        self.offer(nozzle.bounds().swept(&(direction * reach)), &mut sweep);
        sweep.first
    }
}

struct NozzleSweep<'a> {
    nozzle: &'a UprightNozzle,
    direction: &'a Vector3<f64>,
    reach: f64,
    first: Option<Contact>,
}

impl Sweep for NozzleSweep<'_> {
    fn corner(&mut self, corner: &Point3<f64>) {
        let (d, r) = (*self.direction, self.nozzle.radius);
        let m = (self.nozzle.rim - corner).xy();
        let plan = d.xy();
        let c = m.norm_squared() - r * r;
        if let Some(t) = entering(plan.norm_squared(), m.dot(&plan), c)
            && self.counts(t)
            && corner.z >= self.rim_at(t).z - FEATURE_SLACK
        {
            self.meet_side(t, *corner);
        }
        let gap = self.nozzle.rim.z - corner.z;
        if d.z < 0.0 && self.counts(gap / -d.z) {
            let t = gap / -d.z;
            if (self.rim_at(t) - corner).xy().norm() <= r + FEATURE_SLACK {
                self.meet_below(t, *corner);
            }
        }
    }

    fn edge(&mut self, edge: &Edge) {
        self.edge_and_side(edge);
        if edge.along.z.abs() > LEVEL { self.edge_and_rim(edge) } else { self.edge_and_face(edge) }
    }

    // Tried with the point of the rim nearest to the face. The inside of a face that looks down is
    // never met: the nozzle has no upper end.
    fn face(
        &mut self,
        at: &Point3<f64>,
        normal: &Vector3<f64>,
        covers: impl Fn(&Point3<f64>) -> bool,
    ) {
        let closing = -self.direction.dot(normal);
        if closing <= 0.0 || normal.z < -LEVEL {
            return;
        }
        let plan = normal.xy();
        let lead = if plan.norm() > LEVEL {
            plan * (-self.nozzle.radius / plan.norm())
        } else {
            plan * 0.0
        };
        let start = self.nozzle.rim + Vector3::new(lead.x, lead.y, 0.0);
        let t = (start - at).dot(normal) / closing;
        let point = start + self.direction * t;
        if self.counts(t) && covers(&point) {
            self.first = Some(Contact { travel: t, point, normal: *normal });
        }
    }
}

impl NozzleSweep<'_> {
    /// Whether a contact after this travel, mm, would be the first.
    fn counts(&self, travel: f64) -> bool {
        travel >= 0.0 && travel <= self.first.map_or(self.reach, |f| f.travel)
    }

    fn rim_at(&self, travel: f64) -> Point3<f64> {
        self.nozzle.rim + self.direction * travel
    }

    fn meet_side(&mut self, travel: f64, point: Point3<f64>) {
        let v = (self.rim_at(travel) - point).xy();
        let normal = Vector3::new(v.x, v.y, 0.0).try_normalize(0.0).unwrap_or(-self.direction);
        self.first = Some(Contact { travel, point, normal });
    }

    fn meet_below(&mut self, travel: f64, point: Point3<f64>) {
        self.first = Some(Contact { travel, point, normal: Vector3::z() });
    }

    /// Contact of an edge with the side: the distance of edge and axis is one radius.
    fn edge_and_side(&mut self, edge: &Edge) {
        let plan = edge.along.xy();
        if plan.norm() < LEVEL {
            return;
        }
        let n = Vector2::new(-plan.y, plan.x) / plan.norm();
        let w = (self.nozzle.rim - edge.from).xy().dot(&n);
        let closing = -self.direction.xy().dot(&n) * w.signum();
        let t = (w.abs() - self.nozzle.radius) / closing;
        if closing <= 0.0 || !self.counts(t) {
            return;
        }
        let rim = self.rim_at(t);
        let s = (rim - edge.from).xy().dot(&plan) / plan.norm_squared();
        let p = edge.at(s);
        if edge.reaches(s) && p.z >= rim.z - FEATURE_SLACK {
            self.meet_side(t, p);
        }
    }

    /// Contact of a sloping edge with the rim: its point at the rim's height enters the rim's circle.
    fn edge_and_rim(&mut self, edge: &Edge) {
        let d = self.direction;
        let slope = 1.0 / edge.along.z;
        let s0 = (self.nozzle.rim.z - edge.from.z) * slope;
        let ds = d.z * slope;
        let m = (self.nozzle.rim - edge.at(s0)).xy();
        let dm = (d - edge.along * ds).xy();
        let c = m.norm_squared() - self.nozzle.radius * self.nozzle.radius;
        if let Some(t) = entering(dm.norm_squared(), m.dot(&dm), c)
            && self.counts(t)
            && edge.reaches(s0 + ds * t)
        {
            self.meet_side(t, edge.at(s0 + ds * t));
        }
    }

    /// Contact of a level edge with the lower face.
    fn edge_and_face(&mut self, edge: &Edge) {
        let d = self.direction;
        let t = (self.nozzle.rim.z - edge.from.z) / -d.z;
        if d.z >= 0.0 || !self.counts(t) {
            return;
        }
        let rim = self.rim_at(t);
        let s = (rim - edge.from).dot(&edge.along).clamp(0.0, edge.length);
        if (rim - edge.at(s)).xy().norm() <= self.nozzle.radius + FEATURE_SLACK {
            self.meet_below(t, edge.at(s));
        }
    }
}
