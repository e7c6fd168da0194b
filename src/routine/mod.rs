//! Routines, and running them.

mod log;
mod steps;

pub use log::{
    Event, EventKind, Leg, LegKind, RunEnd, RunKind, RunLog, RunSpeed, Search, SearchOutcome,
    SeamMiss, Solution, SolutionOutcome, TorchPart, WeldTrace,
};
pub use steps::{
    Act, Corner, HOME, PROBING_SPEED, Path, ProbePlan, REACH, RESIDUAL_LIMIT, Routine, Step, StepId,
    TaughtPoint,
};
