//! The size of an element, kept up to date. `leptos-use` has this too, at the price of thirty
//! further crates.

use leptos::{html, prelude::*};
use std::cell::Cell;
use wasm_bindgen::{JsCast, closure::Closure};
use web_sys::ResizeObserver;

/// Until the element stands on the page, pixels.
const INITIAL: (f64, f64) = (720.0, 600.0);

/// Width and height of the box inside an element's border, whole CSS pixels.
pub(super) fn element_size(element: NodeRef<html::Div>) -> ReadSignal<(f64, f64)> {
    let (size, set_size) = signal(INITIAL);
    let observing = StoredValue::new_local(None::<(ResizeObserver, Closure<dyn FnMut()>)>);
    on_cleanup(move || {
        if let Some((observer, _)) = observing.try_update_value(Option::take).flatten() {
            observer.disconnect();
        }
    });
    Effect::new(move || {
        let Some(element) = element.get() else { return };
        let (measured, before) = (element.clone(), Cell::new(INITIAL));
        let measure = move || {
            let now = (f64::from(measured.client_width()), f64::from(measured.client_height()));
            // An element that has left the page has no size.
            if now.0 > 0.0 && before.replace(now) != now {
                set_size.set(now);
            }
        };
        measure();
        let on_resize = Closure::<dyn FnMut()>::new(measure);
        if let Ok(observer) = ResizeObserver::new(on_resize.as_ref().unchecked_ref()) {
            observer.observe(&element);
            observing.set_value(Some((observer, on_resize)));
        }
    });
    size
}
