//! The safety caution: shown once, before the first run.

use crate::app::live::effect;
use crate::app::store;
use crate::app::words::{Word, say};
use leptos::{html, prelude::*};

const READ: &str = "caution-read";

/// The caution, as paragraphs: here, and on the record.
pub(crate) fn safety_text() -> [&'static str; 4] {
    [say(Word::Safety1), say(Word::Safety2), say(Word::Safety3), say(Word::Safety4)]
}

/// The caution that waits to be read, and what happens then.
#[derive(Clone, Copy)]
pub(crate) struct Caution {
    wanted: RwSignal<bool>,
    then: StoredValue<Option<Callback<()>>>,
    read: StoredValue<bool>,
}

impl Caution {
    pub(crate) fn new() -> Self {
        Self {
            wanted: RwSignal::new(false),
            then: StoredValue::new(None),
            read: StoredValue::new(store::setting(READ).is_some()),
        }
    }
}

/// Does it, once the caution has been read.
pub(super) fn with_caution(then: impl Fn() + Send + Sync + 'static) {
    let caution: Caution = expect_context();
    if caution.read.get_value() {
        return then();
    }
    caution.then.set_value(Some(Callback::new(move |()| then())));
    caution.wanted.set(true);
}

/// The dialog.
#[component]
pub(crate) fn CautionDialog() -> impl IntoView {
    let caution: Caution = expect_context();
    let dialog = NodeRef::<html::Dialog>::new();
    effect(move || {
        let Some(dialog) = dialog.get() else { return };
        if caution.wanted.get() && !dialog.open() {
            // It is in the page and closed: opening it cannot fail.
            let _ = dialog.show_modal();
        }
    });
    let close = move |accepted: bool| {
        caution.wanted.set(false);
        if let Some(dialog) = dialog.get_untracked() {
            dialog.close();
        }
        let then = caution.then.try_update_value(Option::take).flatten();
        if accepted {
            caution.read.set_value(true);
            store::set_setting(READ, "yes");
            if let Some(then) = then {
                then.run(());
            }
        }
    };
    view! {
        <dialog node_ref=dialog class="dialog caution" data-testid="caution" aria-labelledby="caution-title"
            on:cancel=move |_: web_sys::Event| close(false)>
            <h2 id="caution-title">{say(Word::SafetyTitle)}</h2>
            {safety_text().map(|p| view! { <p>{p}</p> })}
            <div class="dialog-buttons">
                <button type="button" class="run-button" data-testid="safety-read"
                    on:click=move |_| close(true)>{say(Word::SafetyAccept)}</button>
                <button type="button" data-testid="caution-cancel"
                    on:click=move |_| close(false)>{say(Word::Cancel)}</button>
            </div>
        </dialog>
    }
}
