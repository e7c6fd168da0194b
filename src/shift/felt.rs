use crate::geometry::{Point3, Pose, Vector3};

/// What the operator sees of the part that waits.
#[derive(Debug, Clone, PartialEq)]
pub struct Felt {
    /// Its number, from 1.
    pub part: usize,
    /// The offset found, work frame; `None` if the run stopped before.
    pub offset: Option<Pose>,
    /// Displacement of the fixture's own point by that offset, mm, comparable with the play.
    pub shift: Option<Vector3<f64>>,
    /// Agreement of the touches; `None` without a touch to spare.
    pub agreement: Option<Agreement>,
    /// Its touches, in order; the last one felt nothing if the run stopped there.
    pub touches: Vec<TouchFelt>,
}

/// A touch of the part that waits.
#[derive(Debug, Clone, PartialEq)]
pub struct TouchFelt {
    /// Name of the face it is meant for.
    pub face: String,
    /// Where its search began, work frame, mm.
    pub start: Point3<f64>,
    /// Direction of the search, work frame, unit length.
    pub direction: Vector3<f64>,
    /// Where the controller takes the wire tip to have touched, work frame, mm.
    pub reading: Option<Point3<f64>>,
    /// How far it stands off the best fit, mm, positive along the face's outward normal; `None` where
    /// the last place found does not use it.
    pub residual_mm: Option<f64>,
}

/// How well the touches of a part agree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Agreement {
    /// Root of the sum of the squared residuals, mm.
    pub mm: f64,
    /// What chance exceeds in 1 part of 100, mm (chi-square).
    pub limit_mm: f64,
}

impl Agreement {
    /// Whether the touches disagree.
    pub fn in_doubt(&self) -> bool {
        self.mm > self.limit_mm
    }
}
