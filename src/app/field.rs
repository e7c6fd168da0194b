//! A number field: shows a value, hands over what was typed once it is a number.

use super::desk::desk;
use super::logic::number::{mm, read};
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
    let bad = RwSignal::new(false);
    let name = label.clone();
    let take = move |text: String| {
        let typed = read(&text);
        bad.set(typed.is_none());
        if typed.is_none() {
            desk.tell_grave(tell(Word::NotANumber, &[&name, &text]));
        }
        if let Some(v) = typed.filter(|v| (v - value.get_untracked()).abs() > 1e-12) {
            commit.run(v);
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
                prop:value=move || mm(value.get(), decimals)
                on:change:target=move |event| take(event.target().value())
                on:keydown=by_key
            />
            <span class="unit">{unit}</span>
        </label>
    }
}
