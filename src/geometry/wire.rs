use super::bounds::Bounds;
use nalgebra::{Point3, Vector3};

/// An upright wire with a round tip: all points within `radius` of a vertical segment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UprightWire {
    /// Centre of the tip's sphere: the lower end of the segment; the lowest point of the wire is
    /// one radius below it. Work frame, mm.
    pub centre: Point3<f64>,
    /// Length of the segment, mm; up from `centre`.
    pub length: f64,
    /// Radius, mm.
    pub radius: f64,
}

impl UprightWire {
    /// From the lowest point of the wire (work frame), its whole length and its radius, mm.
    pub fn from_tip(tip: &Point3<f64>, length: f64, radius: f64) -> Self {
        let centre = tip + Vector3::z() * radius;
        Self { centre, length: (length - radius).max(0.0), radius }
    }

    /// The lowest point, work frame, mm.
    pub fn tip(&self) -> Point3<f64> {
        self.centre - Vector3::z() * self.radius
    }

    /// The same wire moved by `v`, mm.
    #[must_use]
    pub fn moved(&self, v: &Vector3<f64>) -> Self {
        Self { centre: self.centre + v, ..*self }
    }

    /// The box around it.
    pub fn bounds(&self) -> Bounds {
        let top = self.centre + Vector3::z() * self.length;
        Bounds { lo: self.centre, hi: top }.grown(self.radius)
    }
}

/// First contact of something that moves in a straight line with a body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// Distance moved until contact, mm.
    pub travel: f64,
    /// Point of contact on the body, work frame, mm.
    pub point: Point3<f64>,
    /// Outward unit normal of the body there, work frame.
    pub normal: Vector3<f64>,
}

/// Distance between something and a body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearness {
    /// Distance, mm; 0 if they share a point.
    pub distance: f64,
    /// The nearest point of the body, work frame, mm.
    pub point: Point3<f64>,
    /// Outward unit vector of the body there, towards the other thing unless they overlap.
    pub normal: Vector3<f64>,
}
