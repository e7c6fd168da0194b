use super::bounds::Bounds;
use super::posed::{Edge, FEATURE_SLACK, PosedPrism};
use nalgebra::{Point3, Vector2, Vector3};

/// An upright nozzle: a solid vertical cylinder with a flat rim below and no end above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UprightNozzle {
    /// Centre of the lower rim, work frame, mm.
    pub rim: Point3<f64>,
    /// Radius, mm.
    pub radius: f64,
}

impl UprightNozzle {
    /// The same nozzle moved by `v`, mm.
    #[must_use]
    pub fn moved(&self, v: &Vector3<f64>) -> Self {
        Self { rim: self.rim + v, ..*self }
    }

    /// The box around it, unbounded upwards.
    pub fn bounds(&self) -> Bounds {
        let out = Vector3::new(self.radius, self.radius, 0.0);
        let mut hi = self.rim + out;
        hi.z = f64::INFINITY;
        Bounds { lo: self.rim - out, hi }
    }

    /// Whether the point is in the nozzle.
    fn contains(&self, p: &Point3<f64>) -> bool {
        p.z >= self.rim.z && (p - self.rim).xy().norm() <= self.radius
    }

    /// Whether part of the edge is in the nozzle.
    fn meets_edge(&self, edge: &Edge) -> bool {
        // The stretch of the edge at or above the rim.
        let (mut s0, mut s1) = (0.0, edge.length);
        let drop = self.rim.z - edge.from.z;
        if edge.along.z == 0.0 {
            if drop > 0.0 {
                return false;
            }
        } else if edge.along.z > 0.0 {
            s0 = f64::max(s0, drop / edge.along.z);
        } else {
            s1 = f64::min(s1, drop / edge.along.z);
        }
        if s0 > s1 {
            return false;
        }
        let plan = edge.along.xy();
        let m = (self.rim - edge.from).xy();
        let s = if plan.norm_squared() > 0.0 { m.dot(&plan) / plan.norm_squared() } else { s0 };
        (m - plan * s.clamp(s0, s1)).norm() <= self.radius
    }

    /// A point that the nozzle shares with the plane, if there is one; for an upright plane only at the
    /// height of the rim.
    fn point_on_plane(&self, at: &Point3<f64>, normal: &Vector3<f64>) -> Option<Point3<f64>> {
        let gap = (self.rim - at).dot(normal);
        if normal.z.abs() > FEATURE_SLACK {
            let z = self.rim.z - gap / normal.z;
            if z >= self.rim.z {
                return Some(Point3::new(self.rim.x, self.rim.y, z));
            }
        }
        let plan: Vector2<f64> = normal.xy();
        let out = plan * (-gap / plan.norm_squared());
        (plan.norm() > FEATURE_SLACK && out.norm() <= self.radius)
            .then(|| self.rim + Vector3::new(out.x, out.y, 0.0))
    }
}

impl PosedPrism {
    /// Whether the nozzle and this prism share a point.
    pub fn touches_nozzle(&self, nozzle: &UprightNozzle) -> bool {
        let room = nozzle.bounds();
        if !room.meets(&self.bounds) {
            return false;
        }
        if self.contains(&nozzle.rim) {
            return true;
        }
        let wall_meets = self.walls.iter().filter(|w| w.bounds.meets(&room)).any(|wall| {
            nozzle.contains(&wall.foot)
                || nozzle.contains(&wall.head)
                || wall.edges(self.up, self.height).iter().any(|e| nozzle.meets_edge(e))
                || nozzle
                    .point_on_plane(&wall.foot, &wall.normal)
                    .is_some_and(|p| wall.covers(&p, &self.up, self.height))
        });
        wall_meets
            || self
                .caps()
                .iter()
                .any(|(at, n)| nozzle.point_on_plane(at, n).is_some_and(|p| self.cap_covers(&p)))
    }
}
