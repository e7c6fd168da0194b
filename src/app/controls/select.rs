use leptos::prelude::*;

/// A list to choose one from.
#[component]
pub(crate) fn Select(
    /// Name for tests.
    test_id: &'static str,
    /// Value and text of each choice. Values differ.
    #[prop(into)]
    options: Signal<Vec<(String, String)>>,
    /// The value chosen; the list follows it.
    #[prop(into)]
    value: Signal<String>,
    /// Called with the value of another choice.
    #[prop(into)]
    on_change: Callback<String>,
) -> impl IntoView {
    view! {
        <select
            data-testid=test_id
            prop:value=value
            on:change:target=move |event| on_change.run(event.target().value())
        >
            <For each=move || options.get() key=|option| option.clone() let((value, text))>
                <option value=value>{text}</option>
            </For>
        </select>
    }
}
