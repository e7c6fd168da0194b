//! Shapes and rigid motions, and how a moving wire meets them.

mod outline;
mod pose;
mod prism;

pub use nalgebra::{Matrix3, Point2, Point3, UnitQuaternion, Vector2, Vector3};
pub use outline::{CHORD_TOLERANCE, Corner, Outline, OutlineError};
pub use pose::{Pose, PoseFile};
pub use prism::Prism;
