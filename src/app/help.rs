//! The help sheet: keys and gestures, behind a button and behind '?'.

use super::dom::{View, button, el, several};
use super::i18n::Key;
use super::storage;
use gloo::events::EventListener;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::HtmlDialogElement;

/// Whether the single key '?' opens the help (a single-key shortcut must be possible to turn off).
const KEY_SETTING: &str = "help-key";

/// What the help sheet says: where, and which keys.
const TOPICS: [(Key, Key); 7] = [
    (Key::HelpTorch, Key::HelpTorchKeys),
    (Key::HelpPart, Key::HelpPartKeys),
    (Key::HelpHeights, Key::HelpHeightsKeys),
    (Key::HelpSteps, Key::HelpStepsKeys),
    (Key::HelpEverywhere, Key::HelpEverywhereKeys),
    (Key::HelpProjector, Key::HelpProjectorKeys),
    (Key::HelpClass, Key::HelpClassKeys),
];

/// The button and the sheet.
pub(crate) fn help() -> View {
    let sheet = el("dialog");
    let dialog = StoredValue::new_local(sheet.element::<HtmlDialogElement>());
    let by_key = RwSignal::new(storage::setting(KEY_SETTING).as_deref() != Some("off"));
    let open = move || {
        dialog.with_value(|dialog| {
            if !dialog.open() {
                // It is in the page and closed: opening it cannot fail.
                let _ = dialog.show_modal();
            }
        });
    };
    if let Some(window) = web_sys::window() {
        EventListener::new(&window, "keydown", move |event| {
            let Some(key) = event.dyn_ref::<web_sys::KeyboardEvent>() else { return };
            let typing = event.target().is_some_and(|t| {
                t.dyn_ref::<web_sys::HtmlInputElement>().is_some_and(|i| i.type_() == "text")
            });
            if key.key() == "?" && !typing && by_key.get_untracked() {
                open();
            }
        })
        .forget();
    }
    let set_key = move |event: web_sys::Event| {
        let on = event_target_checked(&event);
        by_key.set(on);
        storage::set_setting(KEY_SETTING, if on { "on" } else { "off" });
    };
    several().child(button("help").attr("title", "?").click(open).text(Key::Help)).child(
        sheet
            .class("dialog help")
            .test_id("help-sheet")
            .attr("aria-labelledby", "help-title")
            .child(el("h2").attr("id", "help-title").text(Key::HelpTitle))
            .child(el("dl").child(TOPICS.map(|(topic, keys)| {
                several().child(el("dt").text(topic)).child(el("dd").text(keys))
            })))
            .child(
                el("label")
                    .class("check")
                    .child(
                        el("input")
                            .attr("type", "checkbox")
                            .test_id("help-key")
                            .on("change", set_key)
                            .checked(move || by_key.get()),
                    )
                    .child(el("span").text(Key::HelpKey)),
            )
            .child(
                el("div").class("dialog-buttons").child(
                    button("help-close")
                        .class("run-button")
                        .click(move || {
                            dialog.with_value(HtmlDialogElement::close);
                        })
                        .text(Key::Close),
                ),
            ),
    )
}
