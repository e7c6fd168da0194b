//! The coach's review, worked out in the background. Pricing a mistake takes many runs, so that is
//! done in small pieces once the learner pauses, never between a press and its effect.

use super::logic::shown::may_tell;
use super::playback_state::{PlaybackState, set_if_changed};
use super::told_session::ToldSession;
use gloo::timers::callback::Timeout;
use leptos::prelude::*;
use nudgeproof::coach::{self, Finding, Pieces, Review};
use std::sync::Arc;

/// How long the learner has to pause before the review begins, ms.
const PAUSE: u32 = 120;
/// How long small pieces of work are done in a row before the page handles input again, ms: half a
/// frame.
const SLICE: f64 = 8.0;

/// Does small pieces of work until one has a result, or until input should be handled again.
fn slice<T>(pieces: &mut Pieces<T>) -> Option<T> {
    let begun = js_sys::Date::now();
    loop {
        let result = pieces.go_on();
        if result.is_some() || js_sys::Date::now() - begun >= SLICE {
            return result;
        }
    }
}

/// What is being worked out.
enum Work {
    /// The findings about the routine alone, then the review.
    Marks(Pieces<Vec<Finding>>),
    Review(Pieces<Review>),
}

/// The coach's review of the session.
#[derive(Clone, Copy)]
pub(crate) struct Coaching {
    session: ToldSession,
    playback: PlaybackState,
    /// Findings about the routine alone, while it is being built.
    marks: RwSignal<Vec<Finding>>,
    review: RwSignal<Option<Arc<Review>>>,
    /// Whether the review is out of date, or still to be worked out.
    busy: RwSignal<bool>,
    /// Whether a review is wanted even where nothing has run.
    requested: StoredValue<bool>,
    /// Belongs to the session as it is: given up when that changes.
    under_way: StoredValue<Option<Work>, LocalStorage>,
    next: StoredValue<Option<Timeout>, LocalStorage>,
}

impl Coaching {
    pub(crate) fn new(session: ToldSession, playback: PlaybackState) -> Self {
        let coaching = Self {
            session,
            playback,
            marks: RwSignal::new(Vec::new()),
            review: RwSignal::new(None),
            busy: RwSignal::new(true),
            requested: StoredValue::new(false),
            under_way: StoredValue::new_local(None),
            next: StoredValue::new_local(None),
        };
        // While a run plays, all time belongs to its frames.
        Effect::new(move || {
            if !playback.playing() {
                coaching.wait(0);
            }
        });
        coaching
    }

    /// The session has changed: reviews it anew after a pause.
    pub(crate) fn look_again(&self) {
        self.under_way.set_value(None);
        set_if_changed(self.busy, true);
        self.wait(PAUSE);
    }

    /// Asks for a whole review, also where nothing has run, as long as the caller's owner lives.
    pub(crate) fn request(&self) {
        let coaching = *self;
        coaching.requested.set_value(true);
        on_cleanup(move || coaching.requested.set_value(false));
        if coaching.review.with_untracked(Option::is_none) {
            set_if_changed(coaching.busy, true);
        }
        coaching.wait(0);
    }

    /// Whether the review is out of date, or still to be worked out.
    pub(crate) fn busy(&self) -> bool {
        self.busy.get()
    }

    /// The same, not tracked.
    pub(crate) fn busy_untracked(&self) -> bool {
        self.busy.get_untracked()
    }

    /// Findings about the routine alone.
    pub(crate) fn marks(&self) -> RwSignal<Vec<Finding>> {
        self.marks
    }

    /// The last review; while the coach is busy it may be of an earlier state.
    pub(crate) fn last(&self) -> Option<Arc<Review>> {
        self.review.get()
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
        let work = self.under_way.try_update_value(Option::take).flatten();
        let next = match work.unwrap_or_else(|| self.look_for_marks()) {
            Work::Marks(mut pieces) => match slice(&mut pieces) {
                None => Some(Work::Marks(pieces)),
                Some(marks) => {
                    set_if_changed(self.marks, marks);
                    self.session.with_untracked(|s| {
                        let due = !s.state().runs.is_empty() || self.requested.get_value();
                        due.then(|| Work::Review(coach::review_in_pieces(s.clone())))
                    })
                }
            },
            Work::Review(mut pieces) => match slice(&mut pieces) {
                None => Some(Work::Review(pieces)),
                Some(review) => return self.publish(review),
            },
        };
        if next.is_some() {
            self.under_way.set_value(next);
            self.wait(0);
        } else {
            set_if_changed(self.review, None);
            set_if_changed(self.busy, false);
        }
    }

    fn look_for_marks(self) -> Work {
        let state = self.session.with_untracked(|s| s.state().clone());
        Work::Marks(coach::check_routine_in_pieces(state))
    }

    fn publish(&self, mut review: Review) {
        self.session.with_untracked(|s| review.findings.retain(|f| may_tell(s.state(), f.rule)));
        self.review.set(Some(Arc::new(review)));
        set_if_changed(self.busy, false);
        self.next.set_value(None);
    }
}
