//! Shapes, rigid motions, and the first contact of a moving wire or nozzle.

mod angle;
mod bounds;
mod distance_wire;
mod nozzle;
mod outline;
mod outline_check;
mod outline_flatten;
mod polygon;
pub mod polyline;
mod pose;
mod posed;
mod prism;
mod sweep;
mod sweep_nozzle;
mod sweep_wire;
mod wire;

pub use angle::wrapped;
pub use bounds::Bounds;
pub use nalgebra::{Matrix3, Point2, Point3, UnitQuaternion, Vector2, Vector3};
pub use nozzle::UprightNozzle;
pub use outline::{
    CHORD_TOLERANCE_MM, MAX_COORDINATE_MM, MAX_CORNERS, Outline, OutlineCorner, OutlineError,
};
pub(crate) use polygon::{ray_crosses, signed_area};
pub use pose::{Pose, PoseFile};
pub use posed::PosedPrism;
pub use prism::{MAX_EDGES, Prism, PrismError};
pub use wire::{Contact, Nearness, UprightWire};
