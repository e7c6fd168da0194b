//! The virtual cell: the part and its true pose, clamps, torch, noise, faults.

mod catalogue;
mod engine;
mod fault;
mod joint;
mod noise;
mod obstacle;
mod part;
mod part_check;
mod part_error;
mod path;
mod seam_line;
mod search;
mod settings;
mod template;
mod travel;
mod wire;

pub(crate) use catalogue::is_held_back;
pub use catalogue::{first_part, held_back_parts, part_by_name, parts};
pub use engine::Cell;
pub use fault::{
    EdgeMet, FAULT_KINDS, FAULT_NAMES, Fault, FaultKind, Look, Mend, WIRE_BENT, edge_met,
    fault_kind,
};
pub use joint::{Gap, Joint};
pub use noise::Noise;
pub use part::{
    BURR_MM, Body, Bump, BumpKind, EdgeMade, FixturePlay, MadeEdge, ModelTouch, OwnMotions, Part,
    PlateSide, Seam,
};
pub use part_check::TABLE;
pub use part_error::PartError;
pub use path::PATH_TOLERANCE_MM;
pub use seam_line::{END_MM, STANDOFF_MM, SeamLine, SeamMiss};
pub(crate) use search::ONE_FACE_COSINE;
pub use search::{
    BALL_LATE_MM, BALL_SCATTER, ELASTIC_SPEED_MM_S, NOZZLE, SearchResult, WireContact, fast_overrun,
};
pub use settings::{CellSettings, REDUCED_SPEED_MM_S, WIRE_DIAMETERS_MM};
pub use template::{
    Dimension, Draft, DraftError, OWN_NAME, OutlineDraft, OutlinePartError, Section, Template,
    own_name_of_part, own_part_name,
};
pub use travel::{AllowedContact, Contacts, MAX_DRAG_MM, NozzleHit, TOUCHING_MM, WireHit};
pub use wire::{ARC_STICK_OUT_MM, CRASH_BEND_MM, Wire};
