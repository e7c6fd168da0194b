use super::markdown::prose;
use crate::app::dom::{View, button, el, when};
use crate::app::i18n::Key;
use leptos::prelude::*;

/// Rungs of a ladder of hints: ask, point, show.
const RUNGS: usize = 3;

/// The hints that are open, in order.
pub(super) fn open_hints(
    hints: impl IntoIterator<Item = impl Into<String>>,
    open: Memo<usize>,
) -> View {
    let hints: Vec<String> = hints.into_iter().map(Into::into).collect();
    let shown = move || {
        let all = hints.iter().take(open.get());
        all.map(|h| el("li").test_id("hint-text").child(prose(h))).collect::<Vec<_>>()
    };
    el("ol").class("hints").child(shown)
}

/// The button that opens the next one, while one is left.
pub(super) fn hint_button(
    test_id: &'static str,
    open: Memo<usize>,
    next: impl Fn() + Copy + Send + Sync + 'static,
) -> View {
    when(
        move || open.get() < RUNGS,
        move || {
            let name = move || match open.get() {
                0 => Key::HintAsk,
                1 => Key::HintPoint,
                _ => Key::HintShow,
            };
            button(test_id).click(next).text(name)
        },
    )
}
