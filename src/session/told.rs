use super::action::Action;
use super::history::{Moment, Session};
use super::state::State;
use crate::routine::{EventKind, Memory, RunLog};
use std::sync::Arc;

/// A session as everyone knows it but the instructor: what was done in secret has not been done, and yet
/// the runs are those that were seen.
///
/// Whatever a learner is shown or told while something is kept secret comes from this session alone: the
/// drawing, the names of runs, the coach, the score, the progress in a lesson. So nothing of it can differ
/// before a run does.
#[derive(Debug, Clone)]
pub struct Told {
    session: Session,
    /// The first action in secret, from 0.
    first: usize,
    /// How far the true session has been followed.
    until: usize,
    moment: Option<Moment>,
}

impl Told {
    /// What is told of a session; `None` where nothing done in secret is left unrevealed. `before`, told of
    /// the same session earlier, saves playing it anew.
    pub fn of(session: &Session, before: Option<&Self>) -> Option<Self> {
        let first = first_secret(session)?;
        let goes_on = |b: &&Self| {
            b.first == first && b.moment.is_some() && session.moment(b.until) == b.moment
        };
        let (mut told, from) = match before.filter(goes_on) {
            Some(before) => (before.session.clone(), before.until),
            None => (begin(session, first), first),
        };
        told.header.clone_from(session.header());
        for (n, truth) in (from..).zip(session.states(from).skip(1)) {
            if !session.actions[n].in_secret() {
                told.follow(session, n, &truth);
            }
        }
        let until = session.done;
        Some(Self { session: told, first, until, moment: session.moment(until) })
    }

    /// The session that is told.
    pub fn session(&self) -> &Session {
        &self.session
    }
}

/// The first action in secret, from 0, that has not been revealed since.
fn first_secret(session: &Session) -> Option<usize> {
    let actions = session.actions();
    let revealed = actions.iter().rposition(|a| *a == Action::Reveal).map_or(0, |n| n + 1);
    actions[revealed..].iter().position(Action::in_secret).map(|n| revealed + n)
}

/// The session as it was before this action.
fn begin(session: &Session, first: usize) -> Session {
    let mut told = session.clone();
    told.state = session.state_before(first).unwrap_or_else(|| session.state().clone());
    told.actions.truncate(first);
    told.notes.truncate(first);
    told.stored.split_off(&(first + 1));
    told.stored.insert(first, told.state.clone());
    told.done = first;
    told
}

impl Session {
    /// Does action `n` of the true session, which led there to `truth`.
    fn follow(&mut self, session: &Self, n: usize, truth: &State) {
        let action = &session.actions[n];
        let next = self.after(&self.state, action, self.done);
        let done = next.is_ok();
        // What cannot be done here, such as going on with a run that did not pause, changes nothing.
        let mut state = next.unwrap_or_else(|_| State::clone(&self.state));
        state.see(action, truth);
        let state = Arc::new(state);
        if done {
            self.actions.push(action.clone());
            self.notes.push(session.notes[n].clone());
            self.done += 1;
        }
        // Each is kept: playing it again would lose what was seen.
        self.stored.insert(self.done, state.clone());
        self.state = state;
    }
}

impl State {
    /// After an action, the last run and what it left behind are as they were seen.
    fn see(&mut self, action: &Action, truth: &Self) {
        if matches!(action, Action::Look { .. }) {
            self.looks.clone_from(&truth.looks);
        }
        let runs = matches!(action, Action::Run { .. } | Action::Resume { .. });
        let in_a_pause = truth.paused.is_some() || self.paused.is_some();
        if self.runs.len() != truth.runs.len() || !(runs || in_a_pause) {
            return;
        }
        let Some(log) = self.last_run_seen(truth).map(Arc::new) else { return };
        self.paused = truth.paused.as_ref().map(|run| Arc::new(run.with_log(log.clone())));
        self.show_last(log);
        if runs {
            self.memory = Arc::new(self.memory_seen(&truth.memory));
            self.wire = truth.wire_without(&self.faults);
            (self.torch, self.sensing) = (truth.torch, truth.sensing);
        }
    }

    /// The last run as it was seen: what the torch did, with the part where it is told to lie.
    fn last_run_seen(&self, truth: &Self) -> Option<RunLog> {
        let (told, mut log) = (self.last_run()?, RunLog::clone(truth.last_run()?));
        (log.part, log.part_at_end) = (told.part, told.part_at_end);
        let moved = |time| {
            let mut told = told.events.iter();
            told.any(|e| e.time == time && matches!(e.what, EventKind::PartMoved))
        };
        log.events.retain(|e| !matches!(e.what, EventKind::PartMoved) || moved(e.time));
        let known = &self.run_contexts.last()?.began.faults;
        let truly = truth.run_contexts.last()?;
        truly.hide_planted_wire(&mut log, known, self.settings.stick_out_mm);
        Some(log)
    }

    /// What the controller remembers, with the part where it is told to have lain.
    fn memory_seen(&self, truth: &Memory) -> Memory {
        let mut memory = truth.clone();
        for reference in memory.references.values_mut() {
            let run = reference.run.checked_sub(1).and_then(|n| self.run_contexts.get(n));
            if let Some(run) = run {
                reference.part = run.resumed.last().unwrap_or(&run.began).part;
            }
        }
        memory
    }
}
