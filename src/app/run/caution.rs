//! The safety caution: shown once, before the first run.

use crate::app::dom::{View, button, el};
use crate::app::i18n::{Key, text};
use crate::app::storage;
use leptos::prelude::*;
use web_sys::HtmlDialogElement;

const READ: &str = "caution-read";

/// The caution, as paragraphs: here, and on the record.
pub(crate) fn safety_text() -> [&'static str; 4] {
    [text(Key::Safety1), text(Key::Safety2), text(Key::Safety3), text(Key::Safety4)]
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
            read: StoredValue::new(storage::setting(READ).is_some()),
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
pub(crate) fn caution_dialog() -> View {
    let caution: Caution = expect_context();
    let sheet = el("dialog");
    let dialog = StoredValue::new_local(sheet.element::<HtmlDialogElement>());
    Effect::new(move || {
        if caution.wanted.get() && !dialog.with_value(HtmlDialogElement::open) {
            // It is in the page and closed: opening it cannot fail.
            let _ = dialog.with_value(HtmlDialogElement::show_modal);
        }
    });
    let close = move |accepted: bool| {
        caution.wanted.set(false);
        dialog.with_value(HtmlDialogElement::close);
        let then = caution.then.try_update_value(Option::take).flatten();
        if accepted {
            caution.read.set_value(true);
            storage::set_setting(READ, "yes");
            if let Some(then) = then {
                then.run(());
            }
        }
    };
    sheet
        .class("dialog caution")
        .test_id("caution")
        .attr("aria-labelledby", "caution-title")
        .on("cancel", move |_: web_sys::Event| close(false))
        .child(el("h2").attr("id", "caution-title").text(Key::SafetyTitle))
        .child(safety_text().map(|p| el("p").text(p)))
        .child(
            el("div")
                .class("dialog-buttons")
                .child(
                    button("safety-read")
                        .class("run-button")
                        .click(move || close(true))
                        .text(Key::SafetyAccept),
                )
                .child(button("caution-cancel").click(move || close(false)).text(Key::Cancel)),
        )
}
