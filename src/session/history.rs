use super::action::Action;
use super::error::ActionError;
use super::header::Header;
use super::house_rules::HouseRules;
use super::state::State;
use crate::io::limits::{ACTIONS, NAME};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

/// A learner's session: what it started from, and everything done since.
///
/// The state is a pure function of header and actions, so a session replays exactly, in the
/// browser and natively. That is also how it keeps its memory small: only some states are stored,
/// and any other is found by replaying the actions after the last one stored.
#[derive(Debug, Clone)]
pub struct Session {
    pub(super) header: Header,
    /// Everything done, and after that what was undone and can be redone.
    pub(super) actions: Vec<Action>,
    /// One for each action.
    pub(super) notes: Vec<Arc<Note>>,
    /// How many of the actions are in force.
    pub(super) done: usize,
    /// The state after these.
    pub(super) state: Arc<State>,
    /// Stored states, by the number of actions before them. The first is always there, so are those
    /// whose number is a multiple of `STRIDE` and those after the last `RECENT` actions.
    pub(super) stored: BTreeMap<usize, Arc<State>>,
}

/// What is kept beside an action.
#[derive(Debug, Clone)]
pub(super) struct Note {
    /// Whether it is the first of its gesture.
    first: bool,
    /// The action as it stands in a session file, once that has been asked for.
    text: OnceLock<Box<str>>,
}

/// Every this many actions a state is stored for good: jumping back to a state further back than
/// `RECENT` replays at most as many.
const STRIDE: usize = 128;
/// Undoing this many actions in a row needs no replay.
const RECENT: usize = 128;

/// Names one point in the history of a session. Two are equal if and only if everything before them
/// is the same: what was undone and then done in another way gets another moment.
#[derive(Debug, Clone)]
pub struct Moment {
    start: Arc<State>,
    last: Option<Arc<Note>>,
}

impl PartialEq for Moment {
    fn eq(&self, other: &Self) -> bool {
        let last = match (&self.last, &other.last) {
            (Some(a), Some(b)) => Arc::ptr_eq(a, b),
            (None, None) => true,
            _ => false,
        };
        last && Arc::ptr_eq(&self.start, &other.start)
    }
}

impl Note {
    /// The same of an action that now stands elsewhere.
    fn renewed(&self) -> Arc<Self> {
        Arc::new(self.clone())
    }
}

impl Session {
    /// An empty session: nothing taught, the part in its drawn place.
    ///
    /// # Errors
    /// If the part cannot be set up.
    pub fn new(header: Header) -> Result<Self, ActionError> {
        for name in [&header.lesson, &header.learner].into_iter().flatten() {
            NAME.check_text(name)?;
        }
        let state = Arc::new(State::start(&header)?);
        Ok(Self {
            header,
            actions: Vec::new(),
            notes: Vec::new(),
            done: 0,
            stored: BTreeMap::from([(0, state.clone())]),
            state,
        })
    }

    /// Does an action. What had been undone can then no longer be redone.
    ///
    /// # Errors
    /// If it cannot be done; the session is then unchanged.
    pub fn act(&mut self, action: Action) -> Result<(), ActionError> {
        self.act_all([action])
    }

    /// Does several actions as one gesture: all of them or none, and [`Session::undo`] takes them
    /// back together. No actions at all change nothing. What had been undone can no longer be redone,
    /// unless all of it is done in secret: that leaves no trace.
    ///
    /// # Errors
    /// Why the first that cannot be done cannot; the session is then unchanged, and what had been
    /// undone can still be redone.
    pub fn act_all(
        &mut self,
        actions: impl IntoIterator<Item = Action>,
    ) -> Result<(), ActionError> {
        let actions: Vec<Action> = actions.into_iter().collect();
        ACTIONS.check(self.done + actions.len())?;
        let mut passed: Vec<Arc<State>> = Vec::with_capacity(actions.len());
        for action in &actions {
            let before = passed.last().unwrap_or(&self.state);
            let state = self.after(before, action, self.done + passed.len())?;
            passed.push(Arc::new(state));
        }
        if passed.is_empty() {
            return Ok(());
        }
        let in_secret = actions.iter().all(Action::in_secret);
        let undone = self.actions.split_off(self.done);
        let undone_notes = self.notes.split_off(self.done);
        self.stored.split_off(&(self.done + 1));
        for (i, (action, state)) in actions.into_iter().zip(passed).enumerate() {
            self.actions.push(action);
            self.notes.push(Arc::new(Note { first: i == 0, text: OnceLock::new() }));
            self.step_to(self.done + 1, state);
        }
        if in_secret {
            self.actions.extend(undone);
            self.notes.extend(undone_notes.iter().map(|note| note.renewed()));
        }
        Ok(())
    }

    /// Takes the last gesture back; false if there is none. What was done in secret stays done.
    pub fn undo(&mut self) -> bool {
        let Some(to) = self.last_gesture() else { return false };
        let mut later = (to + 1..self.done).filter(|n| self.notes[*n].first);
        if let Some(end) = later.next() {
            return self.undo_under(to, end);
        }
        self.state = self.found(to);
        self.done = to;
        self.stored.split_off(&(to + RECENT + 1));
        true
    }

    /// Where the last gesture begins that was not done in secret.
    fn last_gesture(&self) -> Option<usize> {
        (0..self.done).rfind(|n| self.notes[*n].first && !self.actions[*n].in_secret())
    }

    /// Takes back the actions from `to` to before `end`; those after them, done in secret, come to stand
    /// before them. False, and nothing changes, if they cannot.
    fn undo_under(&mut self, to: usize, end: usize) -> bool {
        let before = self.found(to);
        let mut passed: Vec<Arc<State>> = Vec::with_capacity(self.done - end);
        for action in &self.actions[end..self.done] {
            let state = passed.last().unwrap_or(&before);
            match self.after(state, action, to + passed.len()) {
                Ok(state) => passed.push(Arc::new(state)),
                Err(_) => return false,
            }
        }
        self.actions[to..self.done].rotate_left(end - to);
        self.notes[to..self.done].rotate_left(end - to);
        // Other actions stand before them now.
        for note in &mut self.notes[to..] {
            *note = note.renewed();
        }
        self.stored.split_off(&(to + 1));
        (self.done, self.state) = (to, before);
        for state in passed {
            self.step_to(self.done + 1, state);
        }
        true
    }

    /// Does the gesture again that was taken back last; false if there is none.
    pub fn redo(&mut self) -> bool {
        let undone = &self.notes[self.done..];
        if undone.is_empty() {
            return false;
        }
        let more = undone.iter().skip(1).take_while(|note| !note.first).count();
        for n in self.done..=self.done + more {
            let known = self.stored.get(&(n + 1)).cloned();
            // It could be done before, from the very same state.
            let again = || self.after(&self.state, &self.actions[n], n).ok().map(Arc::new);
            let Some(state) = known.or_else(again) else { return false };
            self.step_to(n + 1, state);
        }
        true
    }

    /// Whether there is something to take back.
    pub fn can_undo(&self) -> bool {
        self.last_gesture().is_some()
    }

    /// Whether there is something to do again.
    pub fn can_redo(&self) -> bool {
        self.done < self.actions.len()
    }

    /// Where things stand.
    pub fn state(&self) -> &Arc<State> {
        &self.state
    }

    /// Where things stood before action `n`, from 0; `None` if there are fewer actions. Replays up
    /// to `STRIDE` actions if it is not among the last `RECENT`; to look at many states,
    /// [`Session::states`] is faster.
    pub fn state_before(&self, n: usize) -> Option<Arc<State>> {
        (n <= self.done).then(|| self.replayed_to(n, |_, _| ()))
    }

    /// The states before action `from`, from 0, and before all later ones, the present state last.
    pub fn states(&self, from: usize) -> impl Iterator<Item = Arc<State>> {
        let mut state = self.state_before(from);
        let mut n = from;
        std::iter::from_fn(move || {
            let here = state.take()?;
            if n < self.done {
                let stored = self.stored.get(&(n + 1)).cloned();
                let next = || self.after(&here, &self.actions[n], n).ok().map(Arc::new);
                state = stored.or_else(next);
                n += 1;
            }
            Some(here)
        })
    }

    /// The moment before action `n`, from 0; `None` if there are fewer actions.
    pub fn moment(&self, n: usize) -> Option<Moment> {
        let start = self.stored.get(&0)?.clone();
        let last = n.checked_sub(1).map(|last| self.notes[..self.done].get(last));
        match last {
            None => Some(Moment { start, last: None }),
            Some(note) => Some(Moment { start, last: Some(note?.clone()) }),
        }
    }

    /// The actions in force, oldest first.
    pub fn actions(&self) -> &[Action] {
        &self.actions[..self.done]
    }

    /// The text of each action in force from `from` on, as `write` gives it; what was written once is kept.
    pub(super) fn texts(
        &self,
        from: usize,
        write: impl Fn(&Action) -> String,
    ) -> impl Iterator<Item = &str> {
        let all = self.actions.iter().zip(&self.notes).take(self.done).skip(from);
        all.map(move |(action, note)| &**note.text.get_or_init(|| write(action).into()))
    }

    /// What the session started from.
    pub fn header(&self) -> &Header {
        &self.header
    }

    /// Says who made the session.
    pub fn made_by(&mut self, learner: Option<String>) {
        self.header.learner = learner;
    }

    /// Says to which lesson the session belongs.
    pub fn belongs_to(&mut self, lesson: &str) {
        self.header.lesson = Some(lesson.into());
    }

    /// The same session, judged by these house rules.
    ///
    /// # Errors
    /// As [`replayed`](Self::replayed); never, as what was done could be done.
    pub fn under(
        &self,
        house_rules: Option<Arc<HouseRules>>,
    ) -> Result<Self, (usize, ActionError)> {
        if self.header.house_rules == house_rules {
            return Ok(self.clone());
        }
        let header = Header { house_rules, ..self.header.clone() };
        let mut session = Self::replay(header, self.actions().iter().cloned())?;
        // What was done as one gesture is still taken back as one.
        session.notes = self.notes[..self.done].to_vec();
        Ok(session)
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

    /// The state after `before` and this action, which is action `n` of the session, from 0.
    pub(super) fn after(
        &self,
        before: &State,
        action: &Action,
        n: usize,
    ) -> Result<State, ActionError> {
        let mut state = before.clone();
        state.apply(action, n, self.header.seed)?;
        Ok(state)
    }

    /// Goes on to the state after `done` actions, and stores it.
    fn step_to(&mut self, done: usize, state: Arc<State>) {
        self.stored.insert(done, state.clone());
        (self.done, self.state) = (done, state);
        if let Some(old) = done.checked_sub(RECENT + 1).filter(|old| !old.is_multiple_of(STRIDE)) {
            self.stored.remove(&old);
        }
    }

    /// The state after `n` actions; stores the states that had to be replayed on the way.
    fn found(&mut self, n: usize) -> Arc<State> {
        let mut passed = Vec::new();
        let state = self.replayed_to(n, |n, state| passed.push((n, state)));
        self.stored.extend(passed);
        state
    }

    /// The state after `n` of the actions, replayed from the nearest stored one before it.
    fn replayed_to(&self, n: usize, mut passed: impl FnMut(usize, Arc<State>)) -> Arc<State> {
        let nearest = self.stored.range(..=n).next_back();
        // The start is always stored.
        let (mut at, mut state) =
            nearest.map_or_else(|| (n, self.state.clone()), |(at, state)| (*at, state.clone()));
        while at < n {
            // It could be done before, from the very same state.
            let Ok(next) = self.after(&state, &self.actions[at], at) else { break };
            state = Arc::new(next);
            at += 1;
            passed(at, state.clone());
        }
        state
    }
}
