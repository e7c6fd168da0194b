use super::prose::prose;
use crate::app::live::{Live, when};
use crate::app::words::{Word, say};
use leptos::prelude::*;

/// Rungs of a ladder of hints: ask, point, show.
const RUNGS: usize = 3;

/// The hints that are open, in order.
pub(super) fn open_hints(
    hints: impl IntoIterator<Item = impl Into<String>>,
    open: Live<usize>,
) -> AnyView {
    let hints: Vec<String> = hints.into_iter().map(Into::into).collect();
    let shown = move || {
        let all = hints.iter().take(open.get());
        all.map(|h| view! { <li data-testid="hint-text">{prose(h)}</li> }.into_any()).collect_view()
    };
    view! { <ol class="hints">{shown}</ol> }.into_any()
}

/// The button that opens the next one, while one is left.
pub(super) fn hint_button(
    test_id: &'static str,
    open: Live<usize>,
    next: impl Fn() + Copy + Send + Sync + 'static,
) -> AnyView {
    when(
        move || open.get() < RUNGS,
        move || {
            let name = move || {
                say(match open.get() {
                    0 => Word::HintAsk,
                    1 => Word::HintPoint,
                    _ => Word::HintShow,
                })
            };
            view! { <button type="button" data-testid=test_id on:click=move |_| next()>{name}</button> }
                .into_any()
        },
    )
}
