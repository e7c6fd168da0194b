//! Routines, and running them.
//!
//! ```
//! use nudgeproof::cell::{Cell, CellSettings, part_by_name};
//! use nudgeproof::geometry::{Point3, Vector3};
//! use nudgeproof::routine::{
//!     Instruction, Memory, ProbePlan, Routine, RunOptions, RunSpeed, Runner, SearchOutcome, Step,
//!     StepId, TaughtPoint,
//! };
//!
//! // A block of probing with one touch: towards +Y, from 16 mm in front of the south face.
//! let steps = [
//!     Instruction::BeginProbing { plan: "A".into() },
//!     Instruction::Probe { from: "south-1".into(), direction: Vector3::y(), face: "south".into() },
//!     Instruction::FinishProbing,
//! ];
//! let step = |(instruction, id)| Step { id: StepId(id), instruction };
//! let routine = Routine {
//!     points: vec![TaughtPoint { name: "south-1".into(), at: Point3::new(50.0, -16.0, 5.0) }],
//!     plans: vec![ProbePlan { reference: true, ..ProbePlan::new("A", "A") }],
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
//!     probing_speed: None,
//!     slip: None,
//! };
//! let mut memory = Memory::default();
//! let mut runner = Runner::new(options, &cell, routine.points[0].at);
//! runner.advance(&routine, &mut cell, &mut memory, None);
//!
//! assert!(runner.log().finished());
//! assert_eq!(memory.references["A"].touches.len(), 1);
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
mod probing;
mod runner;
mod steps;
mod welding;

pub use export::{LogRow, rows_as_csv};
pub use kind::StepKind;
pub use log::{
    Event, EventKind, Leg, LegKind, RunEnd, RunKind, RunLog, RunSpeed, Search, SearchOutcome,
    Solution, SolutionOutcome, WeldTrace,
};
pub use memory::{Memory, Reference, ReferenceTouch};
pub use probing::{reading_sigma, same_place};
pub use runner::{RunOptions, Runner};
pub use steps::{
    Corner, DEFAULT_PROBING_SPEED_MM_S, DEFAULT_REACH_MM, DEFAULT_RESIDUAL_LIMIT_MM, HOME,
    Instruction, PathKind, ProbePlan, Routine, Step, StepId, TaughtPoint,
};
