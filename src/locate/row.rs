//! One touch as the estimators see it.

use super::error::MAX_LENGTH_MM;
use nalgebra::Vector3;
use smallvec::SmallVec;

/// Up to this many touches nothing is allocated on the heap.
const INLINE_TOUCHES: usize = 12;

/// A list with one entry per touch.
pub(crate) type PerTouch<T> = SmallVec<[T; INLINE_TOUCHES]>;

/// One row of the equations. Lengths mm; positions are relative to the layout's centre and have
/// z = 0 in the planar freedoms.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TouchRow {
    /// Unit search direction.
    pub(crate) d: Vector3<f64>,
    /// Reference contact.
    pub(crate) r: Vector3<f64>,
    /// Current contact (the reference contact again when forecasting).
    pub(crate) c: Vector3<f64>,
    /// Unit normal of the taught face, into the part.
    pub(crate) n: Vector3<f64>,
    /// `n · q`, q = centroid of the reference contacts of the face.
    pub(crate) h: f64,
}

/// `v` with length 1; `None` if its length is zero, not finite or beyond [`MAX_LENGTH_MM`].
pub(crate) fn unit(v: Vector3<f64>) -> Option<Vector3<f64>> {
    let norm = v.norm();
    (norm > 1.0 / MAX_LENGTH_MM && norm <= MAX_LENGTH_MM).then(|| v / norm)
}
