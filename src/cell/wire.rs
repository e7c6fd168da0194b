use crate::geometry::Vector3;

/// Distance by which a crash displaces the wire tip, mm (common practice, no source: visible, but
/// less than breaks the wire).
pub const CRASH_BEND_MM: f64 = 2.0;

/// State of the wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wire {
    /// Displacement of the tip from that of a straight wire, work frame, mm. Contact and drawing
    /// displace the whole wire by it.
    pub bend: Vector3<f64>,
    /// Length beyond the contact tip, mm.
    pub stick_out_mm: f64,
}

impl Wire {
    /// A straight wire with this stick-out, mm.
    pub fn straight(stick_out_mm: f64) -> Self {
        Self { bend: Vector3::zeros(), stick_out_mm }
    }
}
