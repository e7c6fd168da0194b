//! The shift under way, and what is done in it.

use super::stored;
use crate::app::i18n::{Key, text};
use crate::app::lessons::{Course, day_text, fresh_seed, today};
use crate::app::workspace::Workspace;
use leptos::prelude::*;
use nudgeproof::lesson::{Lesson, prepared_shift};
use nudgeproof::session::{Action, Decision};
use nudgeproof::shift::{Shift, ShiftTally};
use std::sync::Arc;

/// The shift under way, shared by its views.
#[derive(Clone, Copy)]
pub(super) struct ShiftWork {
    /// Which: a date as a number, for the shift of that day, or any other; that of a lesson's attempt.
    pub(super) number: RwSignal<u64>,
    pub(super) shift: RwSignal<Shift>,
    decisions: StoredValue<Vec<Decision>>,
    lesson: Option<InLesson>,
}

/// A shift whose decisions are actions of an attempt at a lesson.
#[derive(Clone, Copy)]
struct InLesson {
    attempt: StoredValue<Arc<Lesson>>,
    workspace: Workspace,
    course: Course,
}

pub(super) fn shift_work() -> ShiftWork {
    expect_context()
}

/// A day's number: 20261127 for 27 November 2026.
pub(super) fn number_of_day(day: u32) -> u64 {
    day_text(day).replace('-', "").parse().unwrap_or_default()
}

impl ShiftWork {
    /// The shift that was under way in this browser, if it is today's or one of one's own choice; else
    /// today's.
    pub(super) fn open() -> Option<Self> {
        let today = number_of_day(today());
        let kept = stored::under_way().filter(|kept| kept.number == today || !kept.daily);
        let number = kept.as_ref().map_or(today, |kept| kept.number);
        let mut shift = prepared_shift(number)?;
        let mut decisions = Vec::new();
        for decision in kept.map(|kept| kept.decisions).unwrap_or_default() {
            if shift.decide(decision).is_err() {
                break;
            }
            decisions.push(decision);
        }
        Some(Self {
            number: RwSignal::new(number),
            shift: RwSignal::new(shift),
            decisions: StoredValue::new(decisions),
            lesson: None,
        })
    }

    /// The shift of an attempt at a lesson; it follows the session. `None` in a lesson about something else.
    pub(super) fn of_lesson(
        lesson: &Arc<Lesson>,
        workspace: Workspace,
        course: Course,
    ) -> Option<Self> {
        let attempt = StoredValue::new(lesson.clone());
        let work = Self {
            number: RwSignal::new(lesson.seed),
            shift: RwSignal::new(lesson.shift_at_start()?.clone()),
            decisions: StoredValue::new(Vec::new()),
            lesson: Some(InLesson { attempt, workspace, course }),
        };
        let decided = Memo::new(move |_| {
            workspace.track_session();
            attempt.with_value(|l| workspace.with_session(|s| l.decisions(s)))
        });
        let follow = move || decided.with(|decided| work.follow(attempt, decided));
        untrack(follow);
        Effect::new(follow);
        Some(work)
    }

    /// Comes to where these decisions lead: on from where it is, or anew.
    fn follow(self, attempt: StoredValue<Arc<Lesson>>, decided: &[Decision]) {
        let known = self.decisions.get_value();
        if known == decided {
            return;
        }
        let goes_on = decided.strip_prefix(&known[..]);
        let start = attempt.with_value(|l| l.shift_at_start().cloned());
        self.shift.update(|shift| {
            if let (None, Some(start)) = (goes_on, start) {
                *shift = start;
            }
            for decision in goes_on.unwrap_or(decided) {
                // What cannot be decided changes nothing.
                let _ = shift.decide(*decision);
            }
        });
        self.decisions.set_value(decided.to_vec());
    }

    pub(super) fn is_daily(self) -> bool {
        self.number.get() == number_of_day(today())
    }

    /// Whether it is that of a lesson.
    pub(super) fn is_taught(self) -> bool {
        self.lesson.is_some()
    }

    /// Whether a question of the lesson is to be answered before the next decision; tracked.
    pub(super) fn asks(self) -> bool {
        let Some(InLesson { attempt, course, .. }) = self.lesson else { return false };
        let (standing, shift) = (course.standing.read(), self.shift.read());
        attempt.with_value(|l| l.waits_for_answer(standing.done, &standing.answers, &shift))
    }

    pub(super) fn decide(self, decision: Decision) {
        if let Some(InLesson { workspace, .. }) = self.lesson {
            if untrack(|| self.asks()) {
                workspace.warn(text(Key::AnswerBeforePart).into());
            } else {
                workspace.act(Action::Decide { what: decision });
            }
        } else if self.shift.write().decide(decision).is_ok() {
            self.decisions.update_value(|all| all.push(decision));
            self.keep();
        }
    }

    fn keep(self) {
        let number = self.number.get_untracked();
        let daily = number == number_of_day(today());
        let decisions = self.decisions.get_value();
        stored::keep(&stored::UnderWay { number, daily, decisions });
    }

    /// Begins this shift from its first part.
    pub(super) fn begin(self, number: u64) {
        if let Some(shift) = prepared_shift(number) {
            self.number.set(number);
            self.shift.set(shift);
            self.decisions.set_value(Vec::new());
            self.keep();
        }
    }

    pub(super) fn begin_another(self) {
        self.begin(fresh_seed());
    }

    pub(super) fn over(self) -> bool {
        self.shift.read().now().is_none()
    }

    /// What the best decisions, by one who sees each weld, would have made of it.
    pub(super) fn best(self) -> ShiftTally {
        let best = match self.lesson {
            Some(lesson) => lesson.attempt.with_value(|l| l.best_of_shift()),
            None => prepared_shift(self.number.get_untracked()).map(|shift| shift.best_tally()),
        };
        best.unwrap_or_default()
    }
}
