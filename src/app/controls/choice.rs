use crate::app::i18n::{Key, text};
use leptos::prelude::*;

/// A choice of a few, of which one always holds: radio buttons that stand side by side.
#[component]
pub(crate) fn Choice<T: Copy + PartialEq + Send + Sync + 'static>(
    /// What is chosen: read out by screen readers, and shown where `named`.
    name: Key,
    #[prop(optional)] named: bool,
    /// Each value, its name for tests, and its name.
    options: Vec<(T, &'static str, Key)>,
    /// The one that holds.
    #[prop(into)]
    value: Signal<T>,
    on_choose: impl Fn(T) + Copy + Send + Sync + 'static,
) -> impl IntoView {
    // Radio buttons of one name belong together.
    let group = options.first().map_or("", |(_, id, _)| *id);
    let option = |(this, test_id, name): (T, &'static str, Key)| {
        view! {
            <label class="option">
                <input
                    type="radio"
                    name=group
                    data-testid=test_id
                    prop:checked=move || value.get() == this
                    on:change=move |_| on_choose(this)
                />
                <span>{text(name)}</span>
            </label>
        }
    };
    view! {
        <div class="choice" role="radiogroup" aria-label=text(name)>
            {named.then(|| view! { <span class="state-name" aria-hidden="true">{text(name)}</span> })}
            {options.into_iter().map(option).collect_view()}
        </div>
    }
}
