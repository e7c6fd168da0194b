//! A shift: forty parts one after the other. Each is felt, and its arc waits for a decision.

mod charts;
mod decisions;
mod parts_so_far;
mod plan;
mod result;
mod stored;
mod taught;
mod tray;
mod work;

pub(crate) use taught::TaughtShift;

use super::i18n::{Key, format};
use super::lessons::{day_text, today};
use leptos::prelude::*;
use parts_so_far::PartsSoFar;
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
            <PartsSoFar over result=|| view! { <ShiftResult /> } />
        </div>
    }
}
