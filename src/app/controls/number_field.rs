use crate::app::i18n::{Key, format};
use crate::app::keys::{self, KeyCommand, Scope};
use crate::app::logic::number::{self, Quantity};
use crate::app::workspace::workspace;
use leptos::ev::KeyboardEvent;
use leptos::prelude::*;

/// A number with its label before it and its unit behind it.
#[component]
pub(crate) fn NumberField(
    /// Name for tests.
    #[prop(into)]
    test_id: String,
    /// Shown before the number.
    #[prop(into)]
    label: String,
    /// The value, in the unit of its quantity inside the program: mm, mm/s, degrees.
    #[prop(into)]
    value: Signal<f64>,
    /// Called with the new value, in the same unit, once it has been typed or changed by an arrow
    /// key.
    #[prop(into)]
    on_commit: Callback<f64>,
    /// What it is a number of: decides the unit shown.
    #[prop(default = Quantity::Length)]
    quantity: Quantity,
    /// Decimals shown of a metric value.
    #[prop(default = 1)]
    decimals: usize,
    /// Change by one press of an arrow key, metric; a tenth of it with Shift.
    #[prop(default = 1.0)]
    step: f64,
) -> impl IntoView {
    let workspace = workspace();
    let invalid = RwSignal::new(false);
    // A memo: a change elsewhere must not overwrite what is being typed.
    let shown = Memo::new(move |_| quantity.show(value.get(), decimals));
    let name = label.clone();
    let take = move |typed: String| {
        let number = number::read(&typed);
        invalid.set(number.is_none());
        match number {
            // The text as it was is no change: the value behind it may have more decimals.
            Some(_) if typed == shown.get_untracked() => {}
            Some(number) => on_commit.run(quantity.metric(number)),
            None => workspace.warn(format(Key::NotANumber, &[&name, &typed])),
        }
    };
    let by_arrow_key = move |event: KeyboardEvent| {
        let Some(KeyCommand::Change(sign)) = keys::command(Scope::NumberField, &event) else {
            return;
        };
        invalid.set(false);
        let step = if event.shift_key() { step / 10.0 } else { step };
        on_commit.run(value.get_untracked() + f64::from(sign) * quantity.key_step(step));
    };
    view! {
        <label class="number">
            <span class="number-name">{label}</span>
            <input
                type="text"
                inputmode="decimal"
                autocomplete="off"
                data-testid=test_id
                aria-invalid=move || invalid.get().then_some("true")
                prop:value=shown
                on:change:target=move |event| {
                    let field = event.target();
                    take(field.value());
                    // As it is shown everywhere, even where the value was this one already.
                    if !invalid.get_untracked() {
                        field.set_value(&shown.get_untracked());
                    }
                }
                on:keydown=by_arrow_key
            />
            <span class="unit">{quantity.unit()}</span>
        </label>
    }
}
