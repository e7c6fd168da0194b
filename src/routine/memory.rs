use super::steps::StepId;
use crate::geometry::{Point3, Pose, Vector3};
use std::collections::BTreeMap;

/// What the controller remembers between runs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Memory {
    /// The reference flag. On: a run learns where each place is. Off: a run compares.
    pub reference_flag: bool,
    /// The stored reference of each place, by its name.
    pub references: BTreeMap<String, Reference>,
    /// The offset of each place, by its name: the motion from where it lay in the reference run to
    /// where it was found, work frame, mm and radians.
    pub offsets: BTreeMap<String, Pose>,
}

/// What a reference run stored for one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Reference {
    /// Number of the run that stored it, from 1.
    pub run: usize,
    /// Where the part truly lay then, `work_from_part` (the coach may know; the controller does not).
    pub part: Pose,
    /// Where everyone took the part to lie then, `work_from_part`.
    pub believed: Pose,
    /// One entry a feel, in the order they ran.
    pub touches: Vec<ReferenceTouch>,
}

/// One stored touch, as seen from the place that was followed (the work frame, where none was).
#[derive(Debug, Clone, PartialEq)]
pub struct ReferenceTouch {
    /// The feel.
    pub step: StepId,
    /// The reading: torch point at contact as the controller believed it, mm.
    pub reading: Point3<f64>,
    /// Search direction, unit length.
    pub search: Vector3<f64>,
    /// Speed of the search, mm/s.
    pub speed_mm_s: f64,
}
