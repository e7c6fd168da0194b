use leptos::prelude::*;

/// One of the tabs of a list. The caller sets its `on:click`.
#[component]
pub(crate) fn Tab(
    /// Name for tests.
    test_id: &'static str,
    /// Whether what it names is in front.
    #[prop(into)]
    selected: Signal<bool>,
    children: Children,
) -> impl IntoView {
    view! {
        <button
            type="button"
            role="tab"
            data-testid=test_id
            aria-selected=move || selected.get().to_string()
        >
            {children()}
        </button>
    }
}
