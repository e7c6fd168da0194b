//! A shift: forty parts one after the other. Each is felt, and its arc waits for a decision.

mod charts;
mod decisions;
mod plan;
mod result;
mod stored;
mod tray;

use super::i18n::{Key, format, text};
use super::lessons::{day_text, fresh_seed, today};
use charts::ShiftCharts;
use decisions::Decisions;
use leptos::prelude::*;
use nudgeproof::lesson::prepared_shift;
use nudgeproof::shift::{Decision, Shift, ShiftTally};
use plan::ShiftPlan;
use result::ShiftResult;
use tray::Tray;

/// The shift under way, shared by its views.
#[derive(Clone, Copy)]
struct ShiftWork {
    /// Which: a date as a number, for the shift of that day, or any other.
    number: RwSignal<u64>,
    shift: RwSignal<Shift>,
    decisions: StoredValue<Vec<Decision>>,
}

fn shift_work() -> ShiftWork {
    expect_context()
}

/// A day's number: 20261127 for 27 November 2026.
fn number_of_day(day: u32) -> u64 {
    day_text(day).replace('-', "").parse().unwrap_or_default()
}

impl ShiftWork {
    /// The shift that was under way in this browser, if it is today's or one of one's own choice; else
    /// today's.
    fn open() -> Option<Self> {
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

    fn is_daily(self) -> bool {
        self.number.get() == number_of_day(today())
    }

    fn decide(self, decision: Decision) {
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
    fn begin(self, number: u64) {
        if let Some(shift) = prepared_shift(number) {
            self.number.set(number);
            self.shift.set(shift);
            self.decisions.set_value(Vec::new());
            self.keep();
        }
    }

    fn begin_another(self) {
        self.begin(fresh_seed());
    }

    fn over(self) -> bool {
        self.shift.read().now().is_none()
    }
}

/// What the best decisions, by one who sees each weld, would have made of a shift.
fn best_tally(number: u64) -> Option<ShiftTally> {
    let mut shift = prepared_shift(number)?;
    for decision in shift.best_decisions() {
        shift.decide(decision).ok()?;
    }
    Some(shift.tally())
}

/// The place of a shift.
#[component]
pub(crate) fn ShiftPlace() -> impl IntoView {
    let work = ShiftWork::open().expect("the program brings parts for a shift");
    provide_context(work);
    let over = Memo::new(move |_| work.over());
    let title = move || {
        if work.is_daily() {
            format(Key::ShiftOfDay, &[&day_text(today())])
        } else {
            format(Key::ShiftNumber, &[&work.number.get().to_string()])
        }
    };
    view! {
        <div class="shift" data-testid="shift" data-over=move || over.get().to_string()>
            <header class="shift-head">
                <h1>{title}</h1>
                <Tray />
            </header>
            <section class="shift-plan" aria-label=text(Key::ShiftPlan)>
                <ShiftPlan />
            </section>
            <section class="shift-charts" aria-labelledby="so-far">
                <h2 id="so-far">{text(Key::ShiftSoFar)}</h2>
                <ShiftCharts />
            </section>
            <section class="shift-foot" aria-label=text(Key::ShiftDecide)>
                <Show when=move || !over.get() fallback=|| view! { <ShiftResult /> }>
                    <Decisions />
                </Show>
            </section>
        </div>
    }
}
