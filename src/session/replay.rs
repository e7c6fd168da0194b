use super::action::Action;
use super::error::ActionError;
use super::header::Header;
use super::state::State;
use super::taught::TaughtPlaces;
use crate::routine::Routine;
use std::sync::Arc;

/// What would have happened: actions played from a start, with routines put in from outside.
pub(crate) struct Replay {
    state: State,
    seed: u64,
    done: usize,
}

impl Replay {
    /// Nothing done yet.
    ///
    /// # Errors
    /// If the part cannot be set up.
    pub(crate) fn new(header: &Header) -> Result<Self, ActionError> {
        Ok(Self { state: State::start(header)?, seed: header.seed, done: 0 })
    }

    /// Does an action.
    ///
    /// # Errors
    /// If it cannot be done.
    pub(crate) fn act(&mut self, action: &Action) -> Result<(), ActionError> {
        self.done += 1;
        self.state.apply(action, self.done - 1, self.seed)
    }

    /// From now on this is the routine, and its points were taught there; a paused run stays paused.
    pub(crate) fn put_in(&mut self, routine: Arc<Routine>, taught: TaughtPlaces) {
        self.state.put_in(routine, taught);
    }

    /// Where things stand.
    pub(crate) fn state(&self) -> &State {
        &self.state
    }
}
