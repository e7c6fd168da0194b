use leptos::prelude::*;

/// A button that is shown pressed while `pressed` is true. The caller sets its `on:click`.
#[component]
pub(crate) fn ToggleButton(
    /// Name for tests.
    #[prop(into)]
    test_id: String,
    /// Whether it is pressed.
    #[prop(into)]
    pressed: Signal<bool>,
    /// Classes of the button.
    #[prop(optional)]
    class: Option<&'static str>,
    children: Children,
) -> impl IntoView {
    view! {
        <button
            type="button"
            class=class
            data-testid=test_id
            aria-pressed=move || pressed.get().to_string()
        >
            {children()}
        </button>
    }
}
