//! A number field: shows a value, hands over what was typed once it is a number.

use super::desk::desk;
use super::logic::number::{self, length, plain, read, unit_mm};
use super::words::{Word, tell};
use leptos::prelude::*;

/// A number with its name before it and its unit behind it.
#[component]
pub(crate) fn NumberField(
    /// What it is called.
    #[prop(into)]
    label: String,
    /// Its value now.
    #[prop(into)]
    value: Signal<f64>,
    /// Called with what was typed.
    #[prop(into)]
    commit: Callback<f64>,
    /// Shown behind the number.
    #[prop(default = "mm")]
    unit: &'static str,
    /// Decimals shown.
    #[prop(default = 1)]
    decimals: usize,
    /// How far the arrow keys change it.
    #[prop(default = 1.0)]
    step: f64,
    /// Name for tests.
    #[prop(into)]
    test_id: String,
) -> impl IntoView {
    let desk = desk();
    // Lengths, and speeds, are shown and typed in the viewer's unit.
    let lengths = unit.strip_prefix("mm");
    let (per, shown) = match lengths {
        Some(rest) => (unit_mm(), [number::unit(), rest].concat()),
        None => (1.0, unit.to_owned()),
    };
    // An arrow key moves by a round figure of the unit: 0.05 in for 1 mm.
    let step = if per == 1.0 { step } else { step * per * 0.05 };
    let bad = RwSignal::new(false);
    let name = label.clone();
    let show = move |v: f64| {
        if lengths.is_some() { length(v, decimals) } else { plain(v, decimals) }
    };
    let take = move |text: String| {
        let typed = read(&text);
        bad.set(typed.is_none());
        if typed.is_none() {
            desk.tell_grave(tell(Word::NotANumber, &[&name, &text]));
        }
        // What stands there already is no change: it may be rounded.
        let same = show(value.get_untracked()) == text;
        if let Some(v) = typed.filter(|_| !same) {
            commit.run(v * per);
        }
    };
    let by_key = move |event: web_sys::KeyboardEvent| {
        let by = match event.key().as_str() {
            "ArrowUp" => 1.0,
            "ArrowDown" => -1.0,
            _ => return,
        };
        event.prevent_default();
        let step = if event.shift_key() { step / 10.0 } else { step };
        bad.set(false);
        commit.run(value.get_untracked() + by * step);
    };
    view! {
        <label class="number">
            <span class="number-name">{label}</span>
            <input
                type="text"
                inputmode="decimal"
                autocomplete="off"
                data-testid=test_id
                aria-invalid=move || bad.get().then_some("true")
                prop:value=move || show(value.get())
                on:change:target=move |event| take(event.target().value())
                on:keydown=by_key
            />
            <span class="unit">{shown}</span>
        </label>
    }
}
