use super::bounds::Bounds;
use super::pose::Pose;
use super::prism::Prism;
use nalgebra::{Point3, Vector3};
use std::sync::Arc;

/// Tolerance for a point within a face or edge, mm. Neighbouring features overlap by it, so that
/// rounding leaves no gap between them.
pub(super) const FEATURE_SLACK: f64 = 1e-9;

/// A prism at a pose in the work frame, with its faces, edges and corners, mm.
#[derive(Debug, Clone)]
pub struct PosedPrism {
    prism: Arc<Prism>,
    work_from_body: Pose,
    body_from_work: Pose,
    /// Unit vector up the prism.
    pub(super) up: Vector3<f64>,
    pub(super) height: f64,
    pub(super) walls: Vec<Wall>,
    pub(super) bounds: Bounds,
}

/// One side face, with the edges and corners at its start. Work frame, mm.
#[derive(Debug, Clone)]
pub(super) struct Wall {
    /// Its starting corner at the underside.
    pub(super) foot: Point3<f64>,
    /// Its starting corner at the top face.
    pub(super) head: Point3<f64>,
    /// Unit vector along it.
    pub(super) along: Vector3<f64>,
    pub(super) length: f64,
    /// Unit vector out of the solid.
    pub(super) normal: Vector3<f64>,
    pub(super) bounds: Bounds,
}

/// A straight edge of a prism. Work frame, mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    pub(super) from: Point3<f64>,
    /// Unit vector along it.
    pub(super) along: Vector3<f64>,
    pub(super) length: f64,
}

impl Edge {
    /// The point `s` mm from its start.
    pub(super) fn at(&self, s: f64) -> Point3<f64> {
        self.from + self.along * s
    }

    /// Whether `s`, mm from its start, is on the edge.
    pub(super) fn reaches(&self, s: f64) -> bool {
        -FEATURE_SLACK <= s && s <= self.length + FEATURE_SLACK
    }
}

impl PosedPrism {
    /// A prism at this pose.
    pub fn new(prism: Arc<Prism>, work_from_body: Pose) -> Self {
        let height = prism.z1 - prism.z0;
        let walls = Vec::with_capacity(prism.loops.iter().map(Vec::len).sum());
        let mut posed = Self {
            prism,
            work_from_body,
            body_from_work: Pose::identity(),
            up: Vector3::z(),
            height,
            walls,
            bounds: Bounds::nothing(),
        };
        posed.place(work_from_body);
        posed
    }

    /// Moves it to another pose.
    pub fn place(&mut self, work_from_body: Pose) {
        let (prism, height) = (&self.prism, self.height);
        let up = work_from_body.vector(&Vector3::z());
        let walls = &mut self.walls;
        walls.clear();
        for points in &prism.loops {
            for (i, a) in points.iter().enumerate() {
                let b = points[(i + 1) % points.len()];
                let foot = work_from_body.point(&Point3::new(a.x, a.y, prism.z0));
                let end = work_from_body.point(&Point3::new(b.x, b.y, prism.z0));
                let length = (end - foot).norm();
                let along = (end - foot) / length;
                let rise = up * height;
                let head = foot + rise;
                walls.push(Wall {
                    foot,
                    head,
                    along,
                    length,
                    // The solid lies to the left of the edge.
                    normal: along.cross(&up),
                    bounds: Bounds::around(&[foot, head, end, end + rise]),
                });
            }
        }
        self.bounds = walls.iter().fold(Bounds::nothing(), |b, w| b.join(&w.bounds));
        self.up = up;
        self.work_from_body = work_from_body;
        self.body_from_work = work_from_body.inverse();
    }

    /// The prism in its own frame.
    pub fn prism(&self) -> &Prism {
        &self.prism
    }

    /// Its pose.
    pub fn work_from_body(&self) -> Pose {
        self.work_from_body
    }

    /// The box around it in the work frame.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// A point of the work frame in the prism's own frame.
    pub fn to_body(&self, p: &Point3<f64>) -> Point3<f64> {
        self.body_from_work.point(p)
    }

    /// Whether the point, in the work frame, is inside the solid.
    pub fn contains(&self, p: &Point3<f64>) -> bool {
        self.prism.contains(&self.to_body(p))
    }

    /// Whether it stands upright.
    pub(super) fn is_upright(&self) -> bool {
        self.up.x == 0.0 && self.up.y == 0.0 && self.up.z > 0.0
    }

    /// Whether the projection of `p` along the prism is on the top face and underside.
    pub(super) fn cap_covers(&self, p: &Point3<f64>) -> bool {
        self.prism.covers(&self.to_body(p).xy())
    }

    /// A point of the top face and of the underside with the unit vectors out of them.
    pub(super) fn caps(&self) -> [(Point3<f64>, Vector3<f64>); 2] {
        [(self.walls[0].head, self.up), (self.walls[0].foot, -self.up)]
    }
}

impl Wall {
    /// The edge at its start, the lower edge, the upper edge.
    pub(super) fn edges(&self, up: Vector3<f64>, height: f64) -> [Edge; 3] {
        [
            Edge { from: self.foot, along: up, length: height },
            Edge { from: self.foot, along: self.along, length: self.length },
            Edge { from: self.head, along: self.along, length: self.length },
        ]
    }

    /// Whether the projection of `p` onto the wall's plane is on the wall.
    pub(super) fn covers(&self, p: &Point3<f64>, up: &Vector3<f64>, height: f64) -> bool {
        let v = p - self.foot;
        let (s, z) = (v.dot(&self.along), v.dot(up));
        -FEATURE_SLACK <= s
            && s <= self.length + FEATURE_SLACK
            && -FEATURE_SLACK <= z
            && z <= height + FEATURE_SLACK
    }
}
