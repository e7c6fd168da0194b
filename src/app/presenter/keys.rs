use super::faults::Kind;
use super::{clear, move_in_secret, next_part, plant, reveal};
use crate::app::workspace::Workspace;
use gloo::events::{EventListener, EventListenerOptions};
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// Keys of the presenter: on the sheet by themselves, anywhere else with Alt.
pub(crate) fn presenter_keys(workspace: Workspace, chosen: RwSignal<Kind>) {
    let Some(window) = web_sys::window() else { return };
    let options = EventListenerOptions::enable_prevent_default();
    let listener = EventListener::new_with_options(&window, "keydown", options, move |event| {
        let Some(key) = event.dyn_ref::<web_sys::KeyboardEvent>() else { return };
        if key.ctrl_key() || key.meta_key() || key.shift_key() || key.repeat() {
            return;
        }
        let on_sheet = event
            .target()
            .and_then(|t| t.dyn_into::<web_sys::Element>().ok())
            .is_some_and(|e| e.closest("svg.sheet").ok().flatten().is_some());
        if !(on_sheet || key.alt_key()) {
            return;
        }
        // The key's place, not its letter: with Alt some keyboards write other letters.
        match key.code().as_str() {
            "KeyF" => plant(workspace, chosen.get_untracked()),
            "KeyM" => move_in_secret(workspace),
            "KeyR" => reveal(workspace),
            "KeyC" => clear(workspace),
            "KeyN" => next_part(workspace),
            _ => return,
        }
        key.prevent_default();
    });
    let listener = StoredValue::new_local(Some(listener));
    on_cleanup(move || listener.set_value(None));
}
