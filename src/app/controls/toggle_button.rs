use leptos::prelude::*;

/// A button that stays pressed while what it stands for holds. Give it its `on:click`.
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
