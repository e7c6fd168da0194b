use crate::cell::{FAULT_NAMES, PartError};
use crate::io::limits::OverLimit;
use crate::routine::StepId;
use std::fmt;
use thiserror::Error;

/// Greatest size of a coordinate, mm, and of a component of a rotation vector, rad.
pub(super) const FAR: f64 = 100_000.0;

/// Greatest id of a step in a routine that is loaded: leaves more ids for new steps than a session
/// can have actions.
pub(super) const MAX_STEP_ID: StepId = StepId(u32::MAX / 2);

/// Unit of a number in an [`ActionError`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Millimetres.
    Mm,
    /// Millimetres a second.
    MmPerS,
    /// Radians.
    Rad,
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Mm => "mm",
            Self::MmPerS => "mm/s",
            Self::Rad => "rad",
        })
    }
}

/// Why an action cannot be done in the state it met. The state is then unchanged.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum ActionError {
    /// No step has this id.
    #[error("there is no step with id {}", .0.0)]
    NoStep(StepId),
    /// The list is shorter than that.
    #[error("place {at} is past the end of a routine of {len} steps")]
    NoPlace {
        /// The place asked for, from 0.
        at: usize,
        /// Steps in the routine.
        len: usize,
    },
    /// No point has this name.
    #[error("there is no point named {0:?}")]
    NoPoint(String),
    /// A point of this name exists already.
    #[error("there is a point named {0:?} already")]
    PointExists(String),
    /// No body of the part has this name and a play of its own.
    #[error("the part has no body named {0:?} that moves by itself")]
    NoBody(String),
    /// A name is empty.
    #[error("a name needs at least one letter")]
    EmptyName,
    /// A number is not finite.
    #[error("{0} is not a finite number")]
    NotFinite(&'static str),
    /// A place or a rotation is too far away.
    #[error("{what} is {is:?} {unit}, and it must be within ±{within} {unit}")]
    TooFar {
        /// What.
        what: &'static str,
        /// What it is.
        is: f64,
        /// Its greatest size.
        within: f64,
        /// Unit of both.
        unit: Unit,
    },
    /// A number is outside what makes sense.
    #[error("{what} is {is:?} {unit}, and it must be above {above} and at most {most} {unit}")]
    OutOfRange {
        /// What.
        what: &'static str,
        /// What it is.
        is: f64,
        /// It must be above this.
        above: f64,
        /// It must be at most this.
        most: f64,
        /// Unit of all three.
        unit: Unit,
    },
    /// The id of a step is so large that there may be none left for new steps.
    #[error("the id of a step is {}, and it must be at most {}", .0.0, MAX_STEP_ID.0)]
    StepIdTooLarge(StepId),
    /// Two steps of a loaded routine share an id, or two points a name.
    #[error("{what} {name:?} stands twice in the routine")]
    Twice {
        /// Step or point.
        what: &'static str,
        /// Which.
        name: String,
    },
    /// No fault has this name.
    #[error("there is no fault named {0:?}; expected one of {known}", known = FAULT_NAMES.join(", "))]
    NoFault(String),
    /// Session, routine or a name would hold more than it may.
    #[error(transparent)]
    TooMuch(#[from] OverLimit),
    /// The cell is locked out: nothing may run.
    #[error("the cell is locked out: make it ready first")]
    LockedOut,
    /// There is no paused run.
    #[error("no run is paused")]
    NothingPaused,
    /// The cell cannot be set up like this.
    #[error(transparent)]
    Cell(#[from] PartError),
}
