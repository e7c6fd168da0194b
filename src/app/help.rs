//! The help sheet: keys and gestures, behind a button and behind '?'.

use super::store;
use super::words::{Word, say};
use gloo::events::EventListener;
use leptos::{html, prelude::*};
use wasm_bindgen::JsCast;

/// Whether the single key '?' opens the help (a single-key shortcut must be possible to turn off).
const KEY_SETTING: &str = "help-key";

/// What the help sheet says: where, and which keys.
const TOPICS: [(Word, Word); 7] = [
    (Word::HelpTorch, Word::HelpTorchKeys),
    (Word::HelpPart, Word::HelpPartKeys),
    (Word::HelpHeights, Word::HelpHeightsKeys),
    (Word::HelpSteps, Word::HelpStepsKeys),
    (Word::HelpEverywhere, Word::HelpEverywhereKeys),
    (Word::HelpProjector, Word::HelpProjectorKeys),
    (Word::HelpClass, Word::HelpClassKeys),
];

/// The button and the sheet.
#[component]
pub(crate) fn Help() -> impl IntoView {
    let dialog = NodeRef::<html::Dialog>::new();
    let by_key = RwSignal::new(store::setting(KEY_SETTING).as_deref() != Some("off"));
    let open = move || {
        if let Some(dialog) = dialog.get_untracked().filter(|d| !d.open()) {
            // It is in the page and closed: opening it cannot fail.
            let _ = dialog.show_modal();
        }
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
        store::set_setting(KEY_SETTING, if on { "on" } else { "off" });
    };
    view! {
        <button type="button" data-testid="help" title="?" on:click=move |_| open()>{say(Word::Help)}</button>
        <dialog node_ref=dialog class="dialog help" data-testid="help-sheet" aria-labelledby="help-title">
            <h2 id="help-title">{say(Word::HelpTitle)}</h2>
            <dl>
                {TOPICS.map(|(topic, keys)| view! {
                    <dt>{say(topic)}</dt>
                    <dd>{say(keys)}</dd>
                })}
            </dl>
            <label class="check">
                <input type="checkbox" data-testid="help-key" prop:checked=by_key on:change=set_key/>
                <span>{say(Word::HelpKey)}</span>
            </label>
            <div class="dialog-buttons">
                <button type="button" class="run-button" data-testid="help-close" on:click=move |_| {
                    if let Some(dialog) = dialog.get_untracked() {
                        dialog.close();
                    }
                }>{say(Word::Close)}</button>
            </div>
        </dialog>
    }
}
