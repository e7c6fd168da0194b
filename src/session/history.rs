use super::action::Action;
use super::error::ActionError;
use super::header::Header;
use super::state::State;
use std::sync::Arc;

/// A learner's session: what it started from, and everything done since.
///
/// The state is a pure function of header and actions, so a session replays exactly, in the
/// browser and natively; undo steps back through the states that were passed.
#[derive(Debug, Clone)]
pub struct Session {
    header: Header,
    actions: Vec<Action>,
    /// `states[n]` is the state after the first `n` actions.
    states: Vec<Arc<State>>,
    /// How many of the actions are in force; the rest can be redone.
    done: usize,
}

impl Session {
    /// An empty session: nothing taught, the part in its drawn place.
    ///
    /// # Errors
    /// If the part cannot be set up.
    pub fn new(header: Header) -> Result<Self, ActionError> {
        let state = State::start(&header);
        state.cell()?;
        Ok(Self { header, actions: Vec::new(), states: vec![Arc::new(state)], done: 0 })
    }

    /// Does an action. What had been undone can then no longer be redone.
    ///
    /// # Errors
    /// If it cannot be done; the session is then unchanged.
    pub fn act(&mut self, action: Action) -> Result<(), ActionError> {
        let mut state = State::clone(self.state());
        state.apply(&action, self.done, self.header.seed)?;
        self.actions.truncate(self.done);
        self.states.truncate(self.done + 1);
        self.actions.push(action);
        self.states.push(Arc::new(state));
        self.done += 1;
        Ok(())
    }

    /// Takes the last action back; false if there is none.
    pub fn undo(&mut self) -> bool {
        let can = self.can_undo();
        self.done -= usize::from(can);
        can
    }

    /// Does again what was taken back; false if there is nothing.
    pub fn redo(&mut self) -> bool {
        let can = self.can_redo();
        self.done += usize::from(can);
        can
    }

    /// Whether there is something to take back.
    pub fn can_undo(&self) -> bool {
        self.done > 0
    }

    /// Whether there is something to do again.
    pub fn can_redo(&self) -> bool {
        self.done < self.actions.len()
    }

    /// Where things stand.
    pub fn state(&self) -> &Arc<State> {
        &self.states[self.done]
    }

    /// Where things stood before action `n`, from 0. The same `Arc` again and again, until the
    /// action before it is another.
    pub fn state_before(&self, n: usize) -> Option<&Arc<State>> {
        self.states[..=self.done].get(n)
    }

    /// The actions in force, oldest first.
    pub fn actions(&self) -> &[Action] {
        &self.actions[..self.done]
    }

    /// What the session started from.
    pub fn header(&self) -> &Header {
        &self.header
    }

    /// Says to which lesson the session belongs.
    pub fn belongs_to(&mut self, lesson: &str) {
        self.header.lesson = Some(lesson.into());
    }

    /// The same start with other actions: what would have happened.
    ///
    /// # Errors
    /// The number of the first action that cannot be done, from 0, and why.
    pub fn replayed(
        &self,
        actions: impl IntoIterator<Item = Action>,
    ) -> Result<Self, (usize, ActionError)> {
        Self::replay(self.header.clone(), actions)
    }

    /// A session from its start and its actions.
    ///
    /// # Errors
    /// The number of the first action that cannot be done, from 0, and why.
    pub fn replay(
        header: Header,
        actions: impl IntoIterator<Item = Action>,
    ) -> Result<Self, (usize, ActionError)> {
        let mut session = Self::new(header).map_err(|e| (0, e))?;
        for (n, action) in actions.into_iter().enumerate() {
            session.act(action).map_err(|e| (n, e))?;
        }
        Ok(session)
    }
}
