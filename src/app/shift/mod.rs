//! A shift: forty parts one after the other. Each is felt, and its arc waits for a decision.

mod charts;
mod decisions;
mod plan;
mod result;
mod stored;
mod taught;
mod tray;
mod work;

pub(crate) use taught::TaughtShift;

use super::i18n::{Key, format, text};
use super::lessons::{day_text, today};
use charts::ShiftCharts;
use decisions::Decisions;
use leptos::prelude::*;
use plan::ShiftPlan;
use result::ShiftResult;
use tray::Tray;
use work::ShiftWork;

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
