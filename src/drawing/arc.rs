use kurbo::{Affine, Point, Vec2};
use std::f64::consts::{PI, TAU};

/// An arc of an ellipse: `centre + u · cos t + v · sin t`, from `start` by `sweep`, radians. Any affine
/// map of such an arc is one too, so circles stay exact through all blocks and transforms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arc {
    centre: Point,
    u: Vec2,
    v: Vec2,
    start: f64,
    sweep: f64,
}

impl Arc {
    /// From its conjugate half axes.
    pub(super) fn new(centre: Point, [u, v]: [Vec2; 2], start: f64, sweep: f64) -> Self {
        Self { centre, u, v, start, sweep }
    }

    /// Of a circle.
    pub(super) fn circular(centre: Point, radius: f64, start: f64, sweep: f64) -> Self {
        Self::new(centre, [Vec2::new(radius, 0.0), Vec2::new(0.0, radius)], start, sweep)
    }

    /// From one point to another, bulging to the right of that way for a positive `bulge`: the tangent
    /// of a quarter of its angle, as DXF has it.
    pub(super) fn bulging(from: Point, to: Point, bulge: f64) -> Self {
        let chord = to - from;
        let left = Vec2::new(-chord.y, chord.x);
        let centre = from.midpoint(to) + left * ((1.0 - bulge * bulge) / (4.0 * bulge));
        let u = from - centre;
        Self::new(centre, [u, Vec2::new(-u.y, u.x)], 0.0, 4.0 * libm::atan(bulge))
    }

    fn at(&self, t: f64) -> Point {
        self.centre + self.u * libm::cos(t) + self.v * libm::sin(t)
    }

    pub(super) fn from(&self) -> Point {
        self.at(self.start)
    }

    /// The end; of a whole ellipse, its start to the last bit.
    pub(super) fn to(&self) -> Point {
        if self.is_whole() { self.from() } else { self.at(self.start + self.sweep) }
    }

    fn is_whole(&self) -> bool {
        (self.sweep.abs() - TAU).abs() < 1e-12
    }

    pub(super) fn reversed(&self) -> Self {
        Self { start: self.start + self.sweep, sweep: -self.sweep, ..*self }
    }

    pub(super) fn mapped(&self, map: Affine) -> Self {
        let turned = |v: Vec2| map * v.to_point() - map * Point::ORIGIN;
        Self { centre: map * self.centre, u: turned(self.u), v: turned(self.v), ..*self }
    }

    /// The greater half axis of the ellipse.
    fn greatest_radius(&self) -> f64 {
        let (a, b, c) = (self.u.hypot2(), self.u.dot(self.v), self.v.hypot2());
        let half = (a - c) / 2.0;
        (f64::midpoint(a, c) + (half * half + b * b).sqrt()).sqrt()
    }

    /// Corners of a box that holds the whole ellipse.
    pub(super) fn hull(&self) -> [Point; 2] {
        let reach = Vec2::new(self.greatest_radius(), self.greatest_radius());
        [self.centre - reach, self.centre + reach]
    }

    /// Adds the ends of chords that are nowhere farther from the arc than `tolerance`; its start is left
    /// out. An ellipse is a squeezed circle, so its chords are no farther off than those of the circle
    /// of its greatest radius: r · (1 − cos(step / 2)).
    pub(super) fn flatten(&self, tolerance: f64, points: &mut Vec<Point>) {
        let radius = self.greatest_radius();
        // A quarter of a turn at most, so that a small hole stays one.
        let step = (2.0 * libm::acos((1.0 - tolerance / radius).max(-1.0))).min(PI / 2.0);
        let n = (self.sweep.abs() / step).ceil().max(1.0);
        for k in 1..n as usize {
            points.push(self.at(self.start + self.sweep * k as f64 / n));
        }
        points.push(self.to());
    }
}
