use super::{KeyCommand, aria, shortcuts, tooltip};
use leptos::prelude::*;

/// A button whose command has keys as well. While the button is shown and not disabled, both do `act`.
#[component]
pub(crate) fn CommandButton(
    command: KeyCommand,
    /// The name under which tests find it.
    #[prop(into)]
    test_id: String,
    act: impl Fn() + Copy + Send + Sync + 'static,
    #[prop(optional, into)] disabled: Signal<bool>,
    children: Children,
) -> impl IntoView {
    let by_key = move || {
        if !disabled.get_untracked() {
            act();
        }
    };
    shortcuts().on(command, by_key);
    view! {
        <button
            type="button"
            data-testid=test_id
            disabled=move || disabled.get()
            title=tooltip(command)
            aria-keyshortcuts=aria(command)
            on:click=move |_| act()
        >
            {children()}
        </button>
    }
}
