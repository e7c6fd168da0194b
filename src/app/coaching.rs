//! What the coach says of the session. Working out what a mistake costs takes many runs: that is
//! done in small pieces once the learner pauses, never between a press and what it does.

use super::live::{Live, Var, effect};
use super::logic::shown::may_tell;
use super::show::{Show, tell_change};
use gloo::timers::callback::Timeout;
use leptos::prelude::*;
use nudgeproof::coach::{self, Finding, Review, Reviewing};
use nudgeproof::session::Session;
use std::sync::Arc;

/// How long nothing has to happen before the coach begins, ms.
const PAUSE: u32 = 120;

/// The coach's review of the session on the desk.
#[derive(Clone, Copy)]
pub(crate) struct Coaching {
    session: StoredValue<Session>,
    playback: Show,
    /// What can be said of the routine alone, while it is being built.
    marks: Var<Vec<Finding>>,
    done: Var<Option<Arc<Review>>>,
    /// The session has changed since.
    stale: StoredValue<bool>,
    /// Something is still to be said of the session as it is.
    busy: Var<bool>,
    under_way: StoredValue<Reviewing>,
    next: StoredValue<Option<Timeout>, LocalStorage>,
}

impl Coaching {
    pub(crate) fn new(session: StoredValue<Session>, playback: Show) -> Self {
        let coaching = Self {
            session,
            playback,
            marks: Var::new(Vec::new()),
            done: Var::new(None),
            stale: StoredValue::new(true),
            busy: Var::new(true),
            under_way: StoredValue::default(),
            next: StoredValue::new_local(None),
        };
        // While a run plays every moment belongs to the frames.
        effect(move || {
            if !playback.playing() {
                coaching.wait(0);
            }
        });
        coaching
    }

    /// The session has changed: looks at it again, in a while.
    pub(crate) fn look_again(&self) {
        self.under_way.set_value(Reviewing::default());
        self.stale.set_value(true);
        tell_change(self.busy, true);
        self.wait(PAUSE);
    }

    /// Whether the coach has not got round to the session as it is.
    pub(crate) fn busy(&self) -> bool {
        self.busy.get()
    }

    /// What can be said of the routine alone.
    pub(crate) fn marks(&self) -> Live<Vec<Finding>> {
        *self.marks
    }

    /// What the coach last said; it may be of the session as it was a moment ago.
    pub(crate) fn last(&self) -> Option<Arc<Review>> {
        self.done.get()
    }

    /// What the coach says of the session as it is, at once.
    pub(crate) fn get(&self) -> Arc<Review> {
        self.busy.track();
        let review = self.done.get().filter(|_| !self.stale.get_value());
        review.unwrap_or_else(|| self.say(self.session.with_value(coach::review)))
    }

    fn wait(&self, ms: u32) {
        let coaching = *self;
        let due = self.busy.get_untracked().then(|| Timeout::new(ms, move || coaching.go_on()));
        self.next.set_value(due);
    }

    fn go_on(self) {
        if self.playback.get_untracked().is_some_and(|p| p.playing) {
            return;
        }
        let begins = self.under_way.with_value(|u| *u == Reviewing::default());
        if begins {
            let (marks, ran) = self
                .session
                .with_value(|s| (coach::check_routine(s.state()), !s.state().runs.is_empty()));
            tell_change(self.marks, marks);
            if !ran {
                tell_change(self.busy, false);
                return;
            }
        }
        let done = self.under_way.try_update_value(|u| self.session.with_value(|s| u.go_on(s)));
        match done.flatten() {
            Some(review) => {
                self.say(review);
            }
            None => self.wait(0),
        }
    }

    fn say(&self, mut review: Review) -> Arc<Review> {
        self.session.with_value(|s| review.findings.retain(|f| may_tell(s.state(), f.rule)));
        let review = Arc::new(review);
        self.done.set(Some(review.clone()));
        self.stale.set_value(false);
        tell_change(self.busy, false);
        self.next.set_value(None);
        review
    }
}
