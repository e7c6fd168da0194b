use crate::cell::{FAULT_NAMES, PartError};
use crate::io::limits::OverLimit;
use crate::routine::StepId;
use crate::text::{Number, Sentence, say, word};
use std::fmt;

/// Greatest size of a coordinate, mm, and of a component of a rotation vector, rad.
pub(super) const FAR: f64 = 100_000.0;

/// Greatest id of a step in a routine that is loaded: leaves more ids for new steps than a session
/// can have actions.
pub(super) const MAX_STEP_ID: StepId = StepId(u32::MAX / 2);

/// Why an action cannot be done in the state it met. The state is then unchanged.
#[derive(Debug, Clone, PartialEq)]
pub enum ActionError {
    /// No step has this id.
    NoStep(StepId),
    /// The list is shorter than that.
    NoPlace {
        /// The place asked for, from 0.
        at: usize,
        /// Steps in the routine.
        len: usize,
    },
    /// No point has this name.
    NoPoint(String),
    /// A point of this name exists already.
    PointExists(String),
    /// No body of the part has this name and a play of its own.
    NoBody(String),
    /// A name is empty.
    EmptyName,
    /// A number is not finite.
    NotFinite(Sentence),
    /// A place or a rotation is too far away.
    TooFar {
        /// What.
        what: Sentence,
        /// What it is, and its greatest size.
        numbers: Box<[Number; 2]>,
    },
    /// A number is outside what makes sense.
    OutOfRange {
        /// What.
        what: Sentence,
        /// What it is; what it must be above; what it must be at most.
        numbers: Box<[Number; 3]>,
    },
    /// The id of a step is so large that there may be none left for new steps.
    StepIdTooLarge(StepId),
    /// Two steps of a loaded routine share an id, or two points a name.
    Twice {
        /// Step or point.
        what: Sentence,
        /// Which.
        name: String,
    },
    /// No fault has this name.
    NoFault(String),
    /// Session, routine or a name would hold more than it may.
    TooMuch(OverLimit),
    /// The cell is locked out: nothing may run.
    LockedOut,
    /// There is no paused run.
    NothingPaused,
    /// The cell cannot be set up like this.
    Cell(PartError),
}

impl ActionError {
    /// Why, to be said; in the middle of a sentence.
    pub fn said(&self) -> Sentence {
        match self {
            Self::NoStep(id) => say::no_step(id.0 as usize),
            Self::NoPlace { at, len } => say::no_such_place(*at, *len),
            Self::NoPoint(name) => say::no_point(name),
            Self::PointExists(name) => say::point_exists(name),
            Self::NoBody(name) => say::no_body(name),
            Self::EmptyName => say::empty_name(),
            Self::NotFinite(what) => say::not_finite(what.clone()),
            Self::TooFar { what, numbers } => {
                let [is, within] = **numbers;
                say::too_far(what.clone(), is, within)
            }
            Self::OutOfRange { what, numbers } => {
                let [is, above, most] = **numbers;
                say::out_of_range(what.clone(), is, above, most)
            }
            Self::StepIdTooLarge(id) => {
                say::step_id_too_large(id.0 as usize, MAX_STEP_ID.0 as usize)
            }
            Self::Twice { what, name } => say::stands_twice(what.clone(), name),
            Self::NoFault(name) => {
                say::no_fault(name, say::listed(FAULT_NAMES.iter().map(|name| word(*name))))
            }
            Self::TooMuch(over) => say::as_a_file_has_it(word(over.to_string())),
            Self::LockedOut => say::is_locked_out(),
            Self::NothingPaused => say::nothing_paused(),
            Self::Cell(problem) => say::as_a_file_has_it(word(problem.to_string())),
        }
    }
}

impl fmt::Display for ActionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.said().fmt(f)
    }
}

impl std::error::Error for ActionError {}

impl From<OverLimit> for ActionError {
    fn from(over: OverLimit) -> Self {
        Self::TooMuch(over)
    }
}

impl From<PartError> for ActionError {
    fn from(problem: PartError) -> Self {
        Self::Cell(problem)
    }
}
