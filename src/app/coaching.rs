//! What the coach says of the session. Working out what a mistake costs takes many runs: that is
//! done in small pieces once the learner pauses, never between a press and what it does.

use super::logic::shown::may_tell;
use super::playback_state::{PlaybackState, set_if_changed};
use gloo::timers::callback::Timeout;
use leptos::prelude::*;
use nudgeproof::coach::{self, Finding, Review, Reviewing};
use nudgeproof::session::Session;
use std::sync::Arc;

/// How long nothing has to happen before the coach begins, ms.
const PAUSE: u32 = 120;

/// The coach's review of the session on the workspace.
#[derive(Clone, Copy)]
pub(crate) struct Coaching {
    session: RwSignal<Session>,
    playback: PlaybackState,
    /// What can be said of the routine alone, while it is being built.
    marks: RwSignal<Vec<Finding>>,
    done: RwSignal<Option<Arc<Review>>>,
    /// The session has changed since.
    stale: StoredValue<bool>,
    /// Something is still to be said of the session as it is.
    busy: RwSignal<bool>,
    under_way: StoredValue<Reviewing>,
    next: StoredValue<Option<Timeout>, LocalStorage>,
}

impl Coaching {
    pub(crate) fn new(session: RwSignal<Session>, playback: PlaybackState) -> Self {
        let coaching = Self {
            session,
            playback,
            marks: RwSignal::new(Vec::new()),
            done: RwSignal::new(None),
            stale: StoredValue::new(true),
            busy: RwSignal::new(true),
            under_way: StoredValue::default(),
            next: StoredValue::new_local(None),
        };
        // While a run plays every moment belongs to the frames.
        Effect::new(move || {
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
        set_if_changed(self.busy, true);
        self.wait(PAUSE);
    }

    /// Whether the coach has not got round to the session as it is.
    pub(crate) fn busy(&self) -> bool {
        self.busy.get()
    }

    /// What can be said of the routine alone.
    pub(crate) fn marks(&self) -> RwSignal<Vec<Finding>> {
        self.marks
    }

    /// What the coach last said; it may be of the session as it was a moment ago.
    pub(crate) fn last(&self) -> Option<Arc<Review>> {
        self.done.get()
    }

    /// What the coach says of the session as it is, at once.
    pub(crate) fn get(&self) -> Arc<Review> {
        self.busy.track();
        let review = self.done.get().filter(|_| !self.stale.get_value());
        review.unwrap_or_else(|| self.publish(self.session.with_untracked(coach::review)))
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
                .with_untracked(|s| (coach::check_routine(s.state()), !s.state().runs.is_empty()));
            set_if_changed(self.marks, marks);
            if !ran {
                set_if_changed(self.busy, false);
                return;
            }
        }
        let done = self.under_way.try_update_value(|u| self.session.with_untracked(|s| u.go_on(s)));
        match done.flatten() {
            Some(review) => {
                self.publish(review);
            }
            None => self.wait(0),
        }
    }

    fn publish(&self, mut review: Review) -> Arc<Review> {
        self.session.with_untracked(|s| review.findings.retain(|f| may_tell(s.state(), f.rule)));
        let review = Arc::new(review);
        self.done.set(Some(review.clone()));
        self.stale.set_value(false);
        set_if_changed(self.busy, false);
        self.next.set_value(None);
        review
    }
}
