//! The virtual cell: the part and its true pose, clamps, torch, noise, faults.

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
pub use part::{Body, FixturePlay, ModelTouch, Part, PlateSide, Seam};
pub use part_check::TABLE;
pub use part_error::PartError;
pub use path::PATH_TOLERANCE_MM;
pub use seam_line::{SeamLine, SeamMiss};
pub use search::{SearchResult, WireContact};
pub use settings::{CellSettings, REDUCED_SPEED_MM_S, WIRE_DIAMETERS_MM};
pub use travel::{AllowedContact, Crash, MAX_DRAG_MM, TOUCHING_MM, TorchPart};
pub use wire::{CRASH_BEND_MM, Wire};
