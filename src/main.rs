//! The page in the browser.

// `#[component]` writes the builders of its props as `pub`, which nothing outside a binary can reach.
#![allow(unreachable_pub, reason = "written by the component macro")]
#![allow(clippy::needless_pass_by_value, reason = "a component owns its props")]

mod app;

use leptos::mount::mount_to;
use leptos::prelude::document;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::HtmlElement;

/// Tells `src/app/boot.js`, which then shows a plain page in place of this program.
fn show_panic(info: &std::panic::PanicHookInfo) {
    console_error_panic_hook::hook(info);
    let init = web_sys::CustomEventInit::new();
    init.set_detail(&JsValue::from_str(&info.to_string()));
    if let (Some(window), Ok(event)) = (
        web_sys::window(),
        web_sys::CustomEvent::new_with_event_init_dict("nudgeproof-panic", &init),
    ) {
        // If the handler fails, there is no other way to report the panic.
        let _ = window.dispatch_event(&event);
    }
}

fn main() {
    std::panic::set_hook(Box::new(show_panic));
    let root = document().get_element_by_id("app").and_then(|e| e.dyn_into::<HtmlElement>().ok());
    let Some(root) = root else {
        panic!("index.html has no element with the id 'app'");
    };
    mount_to(root, app::App).forget();
}
