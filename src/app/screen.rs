//! Access to the browser's window: media queries, address, attributes of `<html>`.

use leptos::ev;
use leptos::prelude::*;
use std::time::Duration;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Element, HtmlElement};

/// Whether the viewer asked for less motion.
pub(crate) fn less_motion() -> bool {
    matches("(prefers-reduced-motion: reduce)")
}

/// Whether a media query holds.
pub(crate) fn matches(query: &str) -> bool {
    window().match_media(query).ok().flatten().is_some_and(|list| list.matches())
}

/// The part of the address from its hash on.
pub(crate) fn hash() -> String {
    window().location().hash().unwrap_or_default()
}

/// Shows the page from its top.
pub(crate) fn to_top() {
    window().scroll_to_with_x_and_y(0.0, 0.0);
}

/// Whether an element has the focus.
pub(crate) fn has_focus(element: &Element) -> bool {
    document().active_element().as_ref() == Some(element)
}

/// Gives the first element that this selector finds the focus, if nothing has it.
pub(crate) fn focus_if_lost(selector: &str) {
    let lost = document().active_element().is_none_or(|element| element.tag_name() == "BODY");
    let element = document().query_selector(selector).ok().flatten().filter(|_| lost);
    if let Some(element) = element.and_then(|e| e.dyn_into::<HtmlElement>().ok()) {
        // Without it Tab begins at the bar.
        let _ = element.focus();
    }
}

/// Puts another hash into the address, without a step in the history.
pub(crate) fn replace_hash(hash: &str) {
    if let Ok(history) = window().history() {
        // If the browser refuses, the address stays as it is: nothing else depends on it.
        let _ = history.replace_state_with_url(&JsValue::NULL, "", Some(hash));
    }
}

/// Calls when the hash of the address has changed, for as long as the page lives.
pub(crate) fn on_hash_change(call: impl Fn() + 'static) {
    window_event_listener(ev::hashchange, move |_| call());
}

/// Calls once the browser has painted what has just changed.
pub(crate) fn after_paint(call: impl FnOnce() + 'static) {
    // The callback of a frame comes before its paint, a timer set in it after.
    request_animation_frame(move || set_timeout(call, Duration::ZERO));
}

/// Whether what is drawn now has been painted: the rest of a place can be drawn after that.
pub(crate) fn painted() -> ReadSignal<bool> {
    let (painted, set_painted) = signal(false);
    after_paint(move || {
        // The place may have been left meanwhile.
        let _ = set_painted.try_set(true);
    });
    painted
}

/// Lets the browser draw and answer before work goes on.
pub(crate) async fn pause() {
    let timer = |resolve: js_sys::Function, _| {
        // Without a timer the work goes on at once.
        if window().set_timeout_with_callback(&resolve).is_err() {
            let _ = resolve.call0(&JsValue::NULL);
        }
    };
    // A timer is kept; nothing rejects it.
    let _ = js_sys::Promise::new(&mut { timer }).await;
}

/// The text of a file; `None` if the browser cannot read it.
pub(crate) async fn text_of(file: &gloo::file::File) -> Option<String> {
    let file: &web_sys::File = file.as_ref();
    file.text().await.ok()?.as_string()
}

/// Sets an attribute of `<html>`, which the style sheet reads.
pub(crate) fn set_root(attribute: &str, value: &str) {
    if let Some(root) = document().document_element() {
        // A valid name and any text: nothing to fail.
        let _ = root.set_attribute(attribute, value);
    }
}

/// Opens another window of this page, small, at an address behind the hash. It shares nothing of this tab's
/// own storage.
pub(crate) fn open_window(hash: &str) {
    let features = "noopener,popup,width=600,height=700";
    // A browser that opens no window leaves the page as it is.
    let _ = window().open_with_url_and_target_and_features(hash, "_blank", features);
}

/// Loads the page anew.
pub(crate) fn reload() {
    // If the browser refuses, the page stays as it is.
    let _ = window().location().reload();
}

/// Goes to another address behind the hash.
pub(crate) fn go(hash: &str) {
    // A hash is always a valid address.
    let _ = window().location().set_hash(hash);
}
