use super::rehearsal::Rehearsal;
use super::words;
use crate::app::i18n::{Key, format, text};
use crate::app::keys::{self, KeyCommand, Scope};
use crate::app::logic::number;
use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use nudgeproof::cell::{Dimension, Template};

/// A dimension to fill in. The drawing follows each key; what is wrong stands under the field.
#[component]
pub(super) fn DimensionField(template: Template, dimension: Dimension) -> impl IntoView {
    let Rehearsal { draft, at_hand, .. } = Rehearsal::here();
    let quantity = words::quantity(dimension);
    let show = move |value: f64| words::show(dimension, value);
    let value = Memo::new(move |_| draft.with(|d| d.value(dimension)));
    // What is being typed stays as it is typed.
    let typed = RwSignal::new(None::<String>);
    let shown = move || typed.get().unwrap_or_else(|| show(value.get()));
    let take = move |written: String| {
        let number = number::read(&written).map_or(f64::NAN, |n| quantity.metric(n));
        typed.set(Some(written));
        draft.update(|d| d.set(dimension, number));
    };
    let done = move || {
        at_hand.set(None);
        if value.get_untracked().is_finite() {
            typed.set(None);
        }
    };
    let step = match dimension {
        Dimension::Tolerance => 0.1,
        Dimension::PlayTurn => 0.25,
        _ => 1.0,
    };
    let by_arrow_key = move |event: KeyboardEvent| {
        let before = value.get_untracked();
        let Some(KeyCommand::Change(sign)) = keys::command(Scope::NumberField, &event) else {
            return;
        };
        if before.is_finite() {
            let step = if event.shift_key() { step / 10.0 } else { step };
            let changed = before + f64::from(sign) * quantity.key_step(step);
            typed.set(None);
            draft.update(|d| d.set(dimension, changed));
        }
    };
    let wrong = Memo::new(move |_| draft.with(|d| d.is_wrong(dimension)));
    let limits = move || {
        let limits = draft.with(|d| d.limits(dimension));
        if limits[0] > limits[1] {
            return text(Key::DimensionNoRoom).to_owned();
        }
        let [low, high] = limits.map(show);
        let key = if wrong.get() { Key::DimensionError } else { Key::DimensionLimits };
        format(key, &[&low, &high, &quantity.unit()])
    };
    let id = dimension.id();
    let limits_id = format!("limits-{id}");
    view! {
        <label class="dimension-field" class:wrong=move || wrong.get()>
            <span class="number-name">{text(words::dimension(template, dimension))}</span>
            <span class="number">
                <input
                    type="text"
                    inputmode="decimal"
                    autocomplete="off"
                    data-testid=format!("dim-{id}")
                    aria-invalid=move || wrong.get().then_some("true")
                    aria-describedby=limits_id.clone()
                    prop:value=shown
                    on:input:target=move |event| take(event.target().value())
                    on:focus=move |_| at_hand.set(Some(dimension))
                    on:blur=move |_| done()
                    on:keydown=by_arrow_key
                />
                <span class="unit">{quantity.unit()}</span>
            </span>
            <span class="limits" id=limits_id data-testid=format!("limits-{id}")>{limits}</span>
        </label>
    }
}
