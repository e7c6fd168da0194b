use super::markdown::Markdown;
use crate::app::i18n::{Key, text};
use crate::app::presenter::class_rules;
use leptos::prelude::*;

/// Hints of a stage or a rule: one asks, one points, one shows.
const HINTS: usize = 3;

/// The hints that are open, in order.
#[component]
pub(super) fn OpenHints(
    hints: [String; HINTS],
    /// Number of hints that are open.
    #[prop(into)]
    open: Signal<usize>,
) -> impl IntoView {
    let shown = move || hints.clone().into_iter().take(open.get()).enumerate();
    view! {
        <ol class="hints">
            <For each=shown key=|(n, _)| *n let((_, hint))>
                <li data-testid="hint-text">
                    <Markdown text=hint />
                </li>
            </For>
        </ol>
    }
}

/// The button that opens the next hint, while one is left.
#[component]
pub(super) fn HintButton(
    test_id: &'static str,
    /// Number of hints that are open.
    #[prop(into)]
    open: Signal<usize>,
    /// Opens the next one.
    next: impl Fn() + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let rules = class_rules();
    let name = move || match open.get() {
        0 => text(Key::HintAsk),
        1 => text(Key::HintPoint),
        _ => text(Key::HintShow),
    };
    view! {
        <Show when=move || open.get() < HINTS.min(rules.hints())>
            <button type="button" data-testid=test_id on:click=move |_| next()>{name}</button>
        </Show>
    }
}
