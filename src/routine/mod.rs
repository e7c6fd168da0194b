//! Routines, and running them.

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
