//! The program of a worker, beside that of the page: it answers tasks, one after the other. Nothing of it is
//! loaded before something is asked.

use gloo::events::EventListener;
use nudgeproof::background::{Answer, Task};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{DedicatedWorkerGlobalScope, MessageEvent};

fn main() {
    console_error_panic_hook::set_once();
    let scope: DedicatedWorkerGlobalScope =
        js_sys::global().dyn_into().expect("this program runs in a worker");
    let page = scope.clone();
    EventListener::new(&scope, "message", move |event| {
        let text = event.dyn_ref::<MessageEvent>().and_then(|message| message.data().as_string());
        let task: Task = serde_json::from_str(&text.expect("a task is a text")).expect("a task");
        post(&page, &task.done());
    })
    .forget();
    post(&scope, &Answer::Ready);
}

fn post(page: &DedicatedWorkerGlobalScope, answer: &Answer) {
    let text = serde_json::to_string(answer).expect("an answer can be written");
    page.post_message(&JsValue::from_str(&text)).expect("a text can be posted");
}
