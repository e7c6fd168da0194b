use super::Noise;
use crate::geometry::Vector3;

/// Distance by which a contact outside a search displaces the wire tip, mm (common practice, no
/// source: visible, but less than breaks the wire).
pub const CRASH_BEND_MM: f64 = 2.0;

/// State of the wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wire {
    /// Displacement of the tip from that of a straight wire, work frame, mm. Contact and drawing
    /// displace the whole wire by it.
    pub bend: Vector3<f64>,
    /// Length beyond the contact tip, mm.
    pub stick_out_mm: f64,
    /// Whether an arc has left a ball at its end.
    pub ball: bool,
}

/// An arc leaves the stick-out off by up to this much either way, mm (common practice, no source).
pub const ARC_STICK_OUT_MM: f64 = 2.0;

impl Wire {
    /// A straight, clean wire with this stick-out, mm.
    pub fn straight(stick_out_mm: f64) -> Self {
        Self { bend: Vector3::zeros(), stick_out_mm, ball: false }
    }

    /// What an arc leaves of a wire that is set to this stick-out, mm: straight, with a ball, and some
    /// longer or shorter.
    pub fn after_arc(stick_out_mm: f64, noise: &mut Noise) -> Self {
        let off = ARC_STICK_OUT_MM * (2.0 * noise.uniform() - 1.0);
        Self { bend: Vector3::zeros(), stick_out_mm: stick_out_mm + off, ball: true }
    }

    /// Whether it is as it was when the points were taught: straight, clean, at the set stick-out, mm.
    pub fn is_trimmed(&self, stick_out_mm: f64) -> bool {
        *self == Self::straight(stick_out_mm)
    }
}
