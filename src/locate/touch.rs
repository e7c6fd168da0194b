use nalgebra::{Point3, Vector3};

/// One touch of a face, taught and (if found) now. All in the work frame, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Touch {
    /// Which face of the part; touches with one label share one reference line or plane.
    pub face: usize,
    /// The probing direction, towards the part. Its length does not matter.
    pub search: Vector3<f64>,
    /// The contact of the reference run.
    pub reference: Point3<f64>,
    /// The contact of this run; `None` when the search found nothing.
    pub current: Option<Point3<f64>>,
}

impl Touch {
    /// A taught touch that has not been looked for yet.
    pub fn taught(face: usize, search: Vector3<f64>, reference: Point3<f64>) -> Self {
        Self { face, search, reference, current: None }
    }

    /// The same touch, found at `current` in this run.
    #[must_use]
    pub fn found(mut self, current: Point3<f64>) -> Self {
        self.current = Some(current);
        self
    }
}
