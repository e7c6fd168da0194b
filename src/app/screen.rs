//! What the page asks of the browser's window, in one place.

use leptos::{html, prelude::*};
use wasm_bindgen::{JsCast, closure::Closure};

/// The size of an element's box, CSS pixels, kept up to date.
pub(crate) fn watch_size(element: NodeRef<html::Div>) -> RwSignal<(f64, f64)> {
    let size = RwSignal::new((720.0, 600.0));
    Effect::new(move |_| {
        let Some(div) = element.get() else { return };
        let measured = div.clone();
        let measure = move || {
            let now = (f64::from(measured.client_width()), f64::from(measured.client_height()));
            if now.0 > 0.0 && now != size.get_untracked() {
                size.set(now);
            }
        };
        measure();
        let on_resize = Closure::<dyn FnMut()>::new(measure);
        if let Ok(observer) = web_sys::ResizeObserver::new(on_resize.as_ref().unchecked_ref()) {
            observer.observe(&div);
        }
        // The sheet is there as long as the page is.
        on_resize.forget();
    });
    size
}

/// Whether the viewer asked for less motion.
pub(crate) fn less_motion() -> bool {
    matches("(prefers-reduced-motion: reduce)")
}

/// Whether a media query holds.
pub(crate) fn matches(query: &str) -> bool {
    web_sys::window()
        .and_then(|w| w.match_media(query).ok().flatten())
        .is_some_and(|list| list.matches())
}

/// The address behind the hash.
pub(crate) fn hash() -> String {
    web_sys::window().and_then(|w| w.location().hash().ok()).unwrap_or_default()
}

/// Puts a value on the page's root element, for the style sheet.
pub(crate) fn set_root(attribute: &str, value: &str) {
    if let Some(root) = document().document_element() {
        // The name is one of ours and the value is text: nothing to fail.
        let _ = root.set_attribute(attribute, value);
    }
}
