//! A learner's session: actions in, state out, replayable from its seed.

mod action;
mod apply;
mod error;
mod file;
mod header;
mod history;
mod state;
mod study;
mod taught;

pub use action::Action;
pub use error::ActionError;
pub use file::{SESSION_FORMAT, SESSION_VERSION, SessionError};
pub use header::Header;
pub use history::{Moment, Session};
pub use state::{List, RunContext, State};
pub use study::{Study, StudyError, Tally};
pub(crate) use taught::still;
