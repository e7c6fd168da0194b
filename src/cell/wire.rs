use crate::geometry::Vector3;

/// How far a crash bends the wire, mm (common practice, no source: enough to see, not enough to
/// break it off).
pub const CRASH_BEND_MM: f64 = 2.0;

/// What the wire is like now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wire {
    /// Where its tip is from where it should be, mm. The whole wire is drawn and felt as if
    /// shifted by it.
    pub bend: Vector3<f64>,
    /// Length beyond the contact tip, mm.
    pub stick_out_mm: f64,
}

impl Wire {
    /// A straight wire.
    pub fn straight(stick_out_mm: f64) -> Self {
        Self { bend: Vector3::zeros(), stick_out_mm }
    }
}
