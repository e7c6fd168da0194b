use crate::app::i18n::{Key, text};
use leptos::prelude::*;

/// A chart under its title and a sentence with the same numbers.
#[component]
pub(super) fn Figure(
    test_id: &'static str,
    title: Key,
    caption: String,
    children: Children,
) -> impl IntoView {
    view! {
        <figure class="chart" data-testid=test_id>
            <figcaption>
                <b>{text(title)}</b>
                {format!(" {caption}")}
            </figcaption>
            {children()}
        </figure>
    }
}
