use leptos::ev::KeyboardEvent;
use wasm_bindgen::JsCast;
use web_sys::{HtmlElement, HtmlInputElement};

/// Kinds of `<input>` that take no text.
const NO_TEXT: [&str; 9] =
    ["button", "checkbox", "color", "file", "image", "radio", "range", "reset", "submit"];

/// Whether a key press goes to a text field. Keys that edit text, undo and redo among them, then
/// belong to the field and not to the page.
pub(crate) fn is_typing(event: &KeyboardEvent) -> bool {
    let Some(target) = event.target() else { return false };
    if let Some(input) = target.dyn_ref::<HtmlInputElement>() {
        return !NO_TEXT.contains(&input.type_().as_str());
    }
    target
        .dyn_ref::<HtmlElement>()
        .is_some_and(|e| e.tag_name() == "TEXTAREA" || e.is_content_editable())
}
