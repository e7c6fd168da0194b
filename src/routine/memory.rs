use super::steps::StepId;
use crate::geometry::{Point3, Pose, Vector3};
use std::collections::BTreeMap;

/// What the controller remembers between runs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Memory {
    /// The stored reference of each plan, by the plan's name.
    pub references: BTreeMap<String, Reference>,
    /// The offsets, by name: the motion from the place of the reference run to where the part was
    /// found, work frame, mm and radians.
    pub offsets: BTreeMap<String, Pose>,
}

/// What a reference run stored for one plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Reference {
    /// Number of the run that stored it, from 1.
    pub run: usize,
    /// Where the part truly lay then, `work_from_part` (the coach may know; the controller does not).
    pub part: Pose,
    /// Probing speed then, mm/s.
    pub speed_mm_s: f64,
    /// One entry a probe step, in the order they ran.
    pub touches: Vec<ReferenceTouch>,
}

/// One stored touch.
#[derive(Debug, Clone, PartialEq)]
pub struct ReferenceTouch {
    /// The probe step.
    pub step: StepId,
    /// The reading: torch point at contact as the controller believed it, work frame, mm.
    pub reading: Point3<f64>,
    /// Search direction, work frame, unit length.
    pub search: Vector3<f64>,
}
