use super::work::shift_work;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::shift_words::clock;
use leptos::prelude::*;
use nudgeproof::shift::{Done, Shift};

/// The parts of the shift, one after the other, beside the clock and the minutes lost. How they were
/// welded shows once the shift is over.
#[component]
pub(super) fn Tray() -> impl IntoView {
    let work = shift_work();
    let tally = Memo::new(move |_| work.shift.read().tally());
    let time = move || {
        let seconds: f64 = work.shift.read().done().iter().map(|d| d.seconds).sum();
        clock(seconds + 60.0 * f64::from(tally.get().minutes))
    };
    let says = move || {
        let shift = work.shift.read();
        let done = shift.done().len();
        let left = shift.parts() - done;
        format(Key::TraySays, &[&done.to_string(), &left.to_string()])
    };
    view! {
        <p class="shift-clock">
            <span>{text(Key::ShiftClock)}</span>
            <b data-testid="shift-clock">{time}</b>
        </p>
        <div class="tray" role="img" aria-label=says data-testid="tray">
            {move || boxes(&work.shift.read())}
        </div>
        <p class="shift-clock">
            <span>{text(Key::ShiftMinutes)}</span>
            <b data-testid="shift-minutes">{move || tally.get().minutes}</b>
        </p>
    }
}

fn boxes(shift: &Shift) -> impl IntoView + use<> {
    let over = shift.now().is_none();
    let of = |number: usize| {
        let done = shift.done().get(number - 1);
        let now = number == shift.done().len() + 1;
        let sign = match done {
            Some(done) => sign(done, over),
            None if now => "now",
            None => "ahead",
        };
        let looked = done.is_some_and(|d| !d.looks.is_empty());
        view! {
            <span class=format!("tray-part {sign}") class:looked=looked data-sign=sign>
                {number}
            </span>
        }
    };
    (1..=shift.parts()).map(of).collect_view()
}

/// How a part that is done is drawn.
fn sign(part: &Done, over: bool) -> &'static str {
    match part.weld {
        None => "aside",
        Some((_, false)) if over => "scrap",
        Some(_) => "welded",
    }
}
