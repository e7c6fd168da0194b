//! The virtual cell: the part and where it truly lies, clamps, torch, noise, faults.

mod fault;
mod part;
mod settings;

pub use fault::Fault;
pub use part::{Body, Hand, ModelTouch, Part, Play, Seam};
pub use settings::{CellSettings, REDUCED_SPEED, WIRE_DIAMETERS};

mod stub;
pub use stub::*;
