//! Shapes and rigid motions, and how a moving wire meets them.

mod pose;

pub use nalgebra::{Matrix3, Point2, Point3, UnitQuaternion, Vector2, Vector3};
pub use pose::{Pose, PoseFile};
