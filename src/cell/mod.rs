//! The virtual cell: the part and where it truly lies, clamps, torch, noise, faults.

mod catalogue;
mod engine;
mod fault;
mod load;
mod noise;
mod obstacle;
mod part;
mod part_check;
mod part_error;
mod path;
mod seam_line;
mod search;
mod settings;
mod travel;
mod wire;

pub use catalogue::{part_by_name, parts};
pub use engine::Cell;
pub use fault::{FAULT_NAMES, Fault};
pub use noise::Noise;
pub use part::{Body, Hand, ModelTouch, Part, Play, Seam};
pub use part_check::TABLE;
pub use part_error::PartError;
pub use path::PATH_TOLERANCE;
pub use seam_line::{SeamLine, SeamMiss};
pub use search::{Found, FoundTouch};
pub use settings::{CellSettings, REDUCED_SPEED, WIRE_DIAMETERS};
pub use travel::{Allow, DRAG, Hit, TOUCHING, TorchPart};
pub use wire::{CRASH_BEND, Wire};
