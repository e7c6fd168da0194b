use crate::app::i18n::{Key, text};
use leptos::prelude::*;

/// What stands in a switch: what it is the state of, the switch as a drawing, and the state in words.
#[component]
pub(crate) fn StateOf(
    name: Key,
    /// The state that it is in.
    #[prop(into)]
    is: Signal<Key>,
    /// What the state means, where there is room to say so.
    #[prop(optional, into)]
    means: Option<Signal<Key>>,
) -> impl IntoView {
    view! {
        <span class="state-name">{text(name)}</span>
        <span class="state-is">
            <span class="track-sign" aria-hidden="true"></span>
            <span>
                {move || text(is.get())}
                {means
                    .map(|means| {
                        view! { <span class="means">{move || text(means.get())}</span> }
                    })}
            </span>
        </span>
    }
}
