//! The size of an element, kept up to date. `leptos-use` has this too, at the price of thirty
//! further crates.

use leptos::{html, prelude::*};
use std::cell::Cell;
use wasm_bindgen::{JsCast, closure::Closure};
use web_sys::ResizeObserver;

/// Of an element that does not stand on the page, pixels.
pub(super) const UNSEEN: (f64, f64) = (720.0, 600.0);

/// Width and height of the box inside an element's border, whole CSS pixels. `None` until it has been measured,
/// which is before it is painted: what is drawn to its size is drawn once.
pub(crate) fn element_size(element: NodeRef<html::Div>) -> ReadSignal<Option<(f64, f64)>> {
    let (size, set_size) = signal(None);
    let observing = StoredValue::new_local(None::<(ResizeObserver, Closure<dyn FnMut()>)>);
    on_cleanup(move || {
        if let Some((observer, _)) = observing.try_update_value(Option::take).flatten() {
            observer.disconnect();
        }
    });
    Effect::new(move || {
        let Some(element) = element.get() else { return };
        let (measured, before) = (element.clone(), Cell::new(UNSEEN));
        let measure = move || {
            let now = (f64::from(measured.client_width()), f64::from(measured.client_height()));
            // An element that has left the page has no size.
            if now.0 > 0.0 && before.replace(now) != now {
                set_size.set(Some(now));
            }
        };
        measure();
        if size.read_untracked().is_none() {
            set_size.set(Some(UNSEEN));
        }
        let on_resize = Closure::<dyn FnMut()>::new(measure);
        if let Ok(observer) = ResizeObserver::new(on_resize.as_ref().unchecked_ref()) {
            observer.observe(&element);
            observing.set_value(Some((observer, on_resize)));
        }
    });
    size
}
