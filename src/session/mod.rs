//! A learner's session: actions in, state out, replayable from its seed.

mod action;
mod apply;
mod file;
mod history;
mod state;
mod study;

pub use action::Action;
pub use apply::ActionError;
pub use file::{SESSION_FORMAT, SESSION_VERSION, SessionError};
pub use history::{Header, Session};
pub use state::{RunMark, State};
pub use study::{Study, StudyError, Tally};
