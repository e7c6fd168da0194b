//! Routines, and running them.
//!
//! ```
//! use nudgeproof::cell::{Cell, CellSettings, part_by_name};
//! use nudgeproof::geometry::{Point3, Pose, Vector3};
//! use nudgeproof::locate::Freedoms;
//! use nudgeproof::routine::{
//!     Instruction, Memory, PART_PLACE, PathKind, Routine, RunOptions, RunSpeed, Runner,
//!     SearchOutcome, Step, StepId, TaughtPoint,
//! };
//!
//! // One touch: towards +Y, from 16 mm in front of the south face.
//! let steps = [
//!     Instruction::sensing_on(),
//!     Instruction::Feel {
//!         from: "south-1".into(),
//!         way: PathKind::Linear,
//!         direction: Vector3::y(),
//!         face: "south".into(),
//!     },
//!     Instruction::SensingOff,
//!     Instruction::Find { place: PART_PLACE.into(), may: Freedoms::Y },
//! ];
//! let step = |(instruction, id)| Step { id: StepId(id), instruction };
//! let routine = Routine {
//!     points: vec![TaughtPoint { name: "south-1".into(), at: Point3::new(50.0, -16.0, 5.0) }],
//!     steps: steps.into_iter().zip(1..).map(step).collect(),
//! };
//!
//! let part = part_by_name("bench-side").expect("it comes with the program");
//! let mut cell = Cell::new(&part, &CellSettings::default(), &[])?;
//! let options = RunOptions {
//!     number: 1,
//!     speed: RunSpeed::Reduced,
//!     arc: false,
//!     seed: 7,
//!     believed: Pose::identity(),
//!     sensing_speed: None,
//!     slip: None,
//! };
//! let mut memory = Memory { reference_flag: true, ..Memory::default() };
//! let mut runner = Runner::new(options, &cell, part.rest);
//! runner.advance(&routine, &mut cell, &mut memory, None);
//!
//! assert!(runner.log().finished());
//! assert_eq!(memory.references[PART_PLACE].touches.len(), 1);
//! // The face is the plane y = 0, the wire 1.2 mm thick.
//! let SearchOutcome::Touch { contact, .. } = &runner.log().searches[0].outcome else {
//!     panic!("the face is within reach");
//! };
//! assert!((contact.y + 0.6).abs() < 1e-9);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod execute;
mod export;
mod kind;
mod log;
mod memory;
mod route;
mod runner;
mod says;
mod sensing;
mod steps;
mod structure;
mod welding;

pub use export::{LogRow, rows_as_csv};
pub use kind::StepKind;
pub use log::{
    Event, EventKind, Leg, LegKind, RunEnd, RunKind, RunLog, RunSpeed, Search, SearchOutcome,
    Solution, SolutionOutcome, WeldTrace,
};
pub use memory::{Memory, Reference, ReferenceTouch};
pub use route::{RouteLeg, route};
pub use runner::{RunOptions, Runner};
pub use sensing::{reading_sigma, same_place};
pub(crate) use steps::part_place;
pub use steps::{
    DEFAULT_REACH_MM, DEFAULT_SENSING_SPEED_MM_S, HOME, Instruction, PART_PLACE, PathKind, Routine,
    Step, StepId, Stop, TaughtPoint,
};
pub use structure::{FindBlock, FollowBlock, SensingBlock, Structure, Weld};
pub(crate) use welding::meant_for;
