use crate::app::i18n::{Key, format};
use crate::app::logic::number::{self, Quantity};
use crate::app::workspace::workspace;
use leptos::prelude::*;

/// A number that was measured, or a blank where nothing was yet.
#[component]
pub(super) fn Measured(
    /// Name for tests.
    test_id: String,
    /// What it is, for screen readers and messages.
    label: String,
    /// The value, in the unit of its quantity inside the program: mm, degrees.
    #[prop(into)]
    value: Signal<Option<f64>>,
    /// Called with the new value, in the same unit, once it has been typed.
    #[prop(into)]
    on_commit: Callback<Option<f64>>,
    /// What it is a number of.
    #[prop(default = Quantity::Length)]
    quantity: Quantity,
    /// The least and the greatest that it can be, in that unit.
    within: [f64; 2],
) -> impl IntoView {
    let workspace = workspace();
    let invalid = RwSignal::new(false);
    let shown =
        Memo::new(move |_| value.get().map(|v| quantity.show(v, DECIMALS)).unwrap_or_default());
    let name = label.clone();
    let take = move |typed: String| {
        let number = number::read(&typed);
        let blank = typed.trim().is_empty();
        let can_be = |v: f64| (within[0]..=within[1]).contains(&v);
        let metric = number.map(|number| quantity.metric(number));
        invalid.set(!metric.map_or(blank, can_be));
        match metric {
            // The text as it was is no change: the value behind it may have more decimals.
            Some(_) if typed == shown.get_untracked() => {}
            Some(value) if can_be(value) => on_commit.run(Some(value)),
            Some(_) => {
                let [low, high] = within.map(|v| quantity.show(v, DECIMALS));
                let given = [&*name, &low, &high, &quantity.unit(), &typed];
                workspace.warn(format(Key::NumberBeyond, &given));
            }
            None if blank => on_commit.run(None),
            None => workspace.warn(format(Key::NotANumber, &[&name, &typed])),
        }
    };
    view! {
        <input
            type="text"
            inputmode="decimal"
            autocomplete="off"
            class="measured"
            data-testid=test_id
            aria-label=label
            aria-invalid=move || invalid.get().then_some("true")
            prop:value=shown
            on:change:target=move |event| take(event.target().value())
        />
    }
}

/// Decimals shown of a metric value: a cell shows as many.
const DECIMALS: usize = 2;
