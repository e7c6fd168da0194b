//! The shift under way, and what is done in it.

use super::stored;
use crate::app::lessons::{day_text, fresh_seed, today};
use leptos::prelude::*;
use nudgeproof::lesson::prepared_shift;
use nudgeproof::session::Decision;
use nudgeproof::shift::{Shift, ShiftTally};

/// The shift under way, shared by its views.
#[derive(Clone, Copy)]
pub(super) struct ShiftWork {
    /// Which: a date as a number, for the shift of that day, or any other.
    pub(super) number: RwSignal<u64>,
    pub(super) shift: RwSignal<Shift>,
    decisions: StoredValue<Vec<Decision>>,
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
        })
    }

    pub(super) fn is_daily(self) -> bool {
        self.number.get() == number_of_day(today())
    }

    pub(super) fn decide(self, decision: Decision) {
        if self.shift.write().decide(decision).is_ok() {
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
}

/// What the best decisions, by one who sees each weld, would have made of a shift.
pub(super) fn best_tally(number: u64) -> Option<ShiftTally> {
    let mut shift = prepared_shift(number)?;
    for decision in shift.best_decisions() {
        shift.decide(decision).ok()?;
    }
    Some(shift.tally())
}
