use leptos::prelude::*;

/// A field for a short text.
#[component]
pub(crate) fn TextField(
    /// Name for tests.
    test_id: &'static str,
    /// The text; the field follows it.
    #[prop(into)]
    value: Signal<String>,
    /// Called with the text, without blanks around it, once it has been typed.
    #[prop(into)]
    on_commit: Callback<String>,
    /// Classes of the field.
    #[prop(optional)]
    class: Option<&'static str>,
) -> impl IntoView {
    // A memo: a change elsewhere must not overwrite what is being typed.
    let value = Memo::new(move |_| value.get());
    view! {
        <input
            type="text"
            autocomplete="off"
            class=class
            data-testid=test_id
            prop:value=value
            on:change:target=move |event| on_commit.run(event.target().value().trim().to_owned())
        />
    }
}
