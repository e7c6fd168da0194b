use super::bounds::Bounds;
use super::posed::{Edge, FEATURE_SLACK, PosedPrism, Wall};
use super::wire::{Nearness, UprightWire};
use nalgebra::{Point3, Vector3};

impl PosedPrism {
    /// Distance of the wire's axis (not its surface) from this prism, if at most `within`, mm.
    ///
    /// The axis is the vertical segment from the centre of the tip's sphere up. Exact: on the plan while
    /// the prism stands upright, else by pairs of features as in [`PosedPrism::first_contact`].
    pub fn axis_nearness(&self, wire: &UprightWire, within: f64) -> Option<Nearness> {
        let axis = UprightWire { radius: within + FEATURE_SLACK, ..*wire };
        let room = axis.bounds();
        if !room.meets(&self.bounds) {
            return None;
        }
        if self.is_upright() {
            return self.upright_nearness(wire, within, &room);
        }
        let ends = [wire.centre, wire.centre + Vector3::z() * wire.length];
        if let Some(inside) = self.pierced(&ends, &room) {
            return Some(inside);
        }
        let mut near = Near { ends, within, best: None };
        for wall in self.walls.iter().filter(|w| w.bounds.meets(&room)) {
            near.corner(&wall.foot);
            near.corner(&wall.head);
            for edge in wall.edges(self.up, self.height) {
                near.edge(&edge);
            }
            near.face(&wall.foot, &wall.normal, |p| wall.covers(p, &self.up, self.height));
        }
        for (at, normal) in self.caps() {
            near.face(&at, &normal, |p| self.cap_covers(p));
        }
        near.best
    }

    /// The same for an upright prism: on the plan the axis is a point. `room` is a box around all that is
    /// near enough.
    fn upright_nearness(&self, wire: &UprightWire, within: f64, room: &Bounds) -> Option<Nearness> {
        let c = wire.centre;
        let [low, high] = [self.walls[0].foot.z, self.walls[0].head.z];
        // How far the axis is above or below, and the nearest heights of the two.
        let (apart, on_axis, on_body) = if c.z > high {
            (c.z - high, c.z, high)
        } else if c.z + wire.length < low {
            (low - c.z - wire.length, c.z + wire.length, low)
        } else {
            let z = c.z.max(low);
            (0.0, z, z)
        };
        let axis = Point3::new(c.x, c.y, on_axis);
        let offer = |distance: f64, point: Point3<f64>, normal: Vector3<f64>| {
            (distance <= within).then_some(Nearness { distance, point, normal })
        };
        let nearest = self.nearest_on_plan(&c, room);
        if self.cap_covers(&c) {
            let point = Point3::new(c.x, c.y, on_body);
            if apart > 0.0 {
                return offer(apart, point, (axis - point) / apart);
            }
            let normal = nearest.or_else(|| self.nearest_on_plan(&c, &self.bounds));
            return offer(0.0, point, normal.map_or(self.up, |(_, wall)| wall.normal));
        }
        let (at, wall) = nearest?;
        let point = Point3::new(at.x, at.y, on_body);
        let distance = (axis - point).norm();
        let normal = if distance > 0.0 { (axis - point) / distance } else { wall.normal };
        offer(distance, point, normal)
    }

    /// The point of a wall in `room` that is nearest to `c` on the plan, and the wall.
    fn nearest_on_plan(&self, c: &Point3<f64>, room: &Bounds) -> Option<(Point3<f64>, &Wall)> {
        let mut best: Option<(f64, Point3<f64>, &Wall)> = None;
        for wall in self.walls.iter().filter(|w| w.bounds.meets(room)) {
            let s = (c - wall.foot).xy().dot(&wall.along.xy()).clamp(0.0, wall.length);
            let at = wall.foot + wall.along * s;
            let square = (c - at).xy().norm_squared();
            if best.is_none_or(|(least, ..)| square < least) {
                best = Some((square, at, wall));
            }
        }
        best.map(|(_, at, wall)| (at, wall))
    }

    /// A point of the axis inside the solid, if there is one; with the normal of the nearest upright
    /// face. `room` is a box around the axis.
    fn pierced(&self, ends: &[Point3<f64>; 2], room: &Bounds) -> Option<Nearness> {
        let inside = |p: Point3<f64>| {
            let depth = |w: &&Wall| {
                let (v, d) = (p - w.foot, (w.foot - p).dot(&w.normal));
                let beside = v.dot(&w.along) - v.dot(&w.along).clamp(0.0, w.length);
                libm::hypot(d, beside)
            };
            let nearest = self.walls.iter().min_by(|a, b| depth(a).total_cmp(&depth(b)));
            let normal = nearest.map_or(self.up, |w| w.normal);
            Some(Nearness { distance: 0.0, point: p, normal })
        };
        if let Some(end) = ends.iter().find(|end| self.contains(end)) {
            return inside(*end);
        }
        let crossing = |at: &Point3<f64>, n: &Vector3<f64>| {
            let (g0, g1) = ((ends[0] - at).dot(n), (ends[1] - at).dot(n));
            ((g0 > 0.0) != (g1 > 0.0)).then(|| ends[0] + (ends[1] - ends[0]) * (g0 / (g0 - g1)))
        };
        for (at, n) in self.caps() {
            if let Some(p) = crossing(&at, &n)
                && self.cap_covers(&p)
            {
                return inside(p);
            }
        }
        for w in self.walls.iter().filter(|w| w.bounds.meets(room)) {
            if let Some(p) = crossing(&w.foot, &w.normal)
                && w.covers(&p, &self.up, self.height)
            {
                return inside(p);
            }
        }
        None
    }
}

/// The nearest point found so far.
struct Near {
    ends: [Point3<f64>; 2],
    within: f64,
    best: Option<Nearness>,
}

impl Near {
    fn offer(&mut self, point: Point3<f64>, axis: Point3<f64>) {
        let v = axis - point;
        let distance = v.norm();
        if distance <= self.best.map_or(self.within, |b| b.distance) {
            let normal = v.try_normalize(0.0).unwrap_or_else(Vector3::z);
            self.best = Some(Nearness { distance, point, normal });
        }
    }

    fn corner(&mut self, corner: &Point3<f64>) {
        let z = corner.z.clamp(self.ends[0].z, self.ends[1].z);
        self.offer(*corner, Point3::new(self.ends[0].x, self.ends[0].y, z));
    }

    fn edge(&mut self, edge: &Edge) {
        for end in self.ends {
            let s = (end - edge.from).dot(&edge.along).clamp(0.0, edge.length);
            self.offer(edge.at(s), end);
        }
        let plan = edge.along.xy();
        if plan.norm_squared() > 0.0 {
            let s = (self.ends[0] - edge.from).xy().dot(&plan) / plan.norm_squared();
            let p = edge.at(s.clamp(0.0, edge.length));
            let z = p.z.clamp(self.ends[0].z, self.ends[1].z);
            self.offer(p, Point3::new(self.ends[0].x, self.ends[0].y, z));
        }
    }

    fn face(
        &mut self,
        at: &Point3<f64>,
        normal: &Vector3<f64>,
        covers: impl Fn(&Point3<f64>) -> bool,
    ) {
        for end in self.ends {
            let gap = (end - at).dot(normal);
            if gap >= 0.0 && gap <= self.within {
                let p = end - normal * gap;
                if gap <= self.best.map_or(self.within, |b| b.distance) && covers(&p) {
                    self.best = Some(Nearness { distance: gap, point: p, normal: *normal });
                }
            }
        }
    }
}
