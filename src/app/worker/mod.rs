//! Work that takes longer than a frame, done in workers. A worker runs this same program, which the page
//! hands it compiled: nothing more is loaded but `worker.js`.

mod task;

pub(crate) use task::{Answer, Task};

use gloo::events::EventListener;
use js_sys::{Object, Reflect};
use leptos::prelude::document;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    DedicatedWorkerGlobalScope, HtmlLinkElement, MessageEvent, WorkerOptions, WorkerType,
};

/// The element of `index.html` that names the script of a worker.
const SCRIPT: &str = "worker-script";

/// In a worker: answers tasks from now on, and is true. On the page it is false.
pub(crate) fn serve() -> bool {
    let Ok(scope) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() else { return false };
    let page = scope.clone();
    EventListener::new(&scope, "message", move |event| {
        if let Some(task) = message::<Task>(event) {
            post(&page, &task.done());
        }
    })
    .forget();
    post(&scope, &Answer::Ready);
    true
}

fn post(page: &DedicatedWorkerGlobalScope, answer: &Answer) {
    let text = serde_json::to_string(answer).expect("an answer can be written");
    page.post_message(&JsValue::from_str(&text)).expect("a text can be posted");
}

fn message<T: for<'de> serde::Deserialize<'de>>(event: &web_sys::Event) -> Option<T> {
    let text = event.dyn_ref::<MessageEvent>()?.data().as_string()?;
    serde_json::from_str(&text).ok()
}

/// A worker; dropped, it ends at once.
pub(crate) struct Worker {
    worker: web_sys::Worker,
    _listeners: [EventListener; 2],
}

impl Worker {
    /// Starts one. It says [`Answer::Ready`] first, and then one answer to each task. `broke` is called if it
    /// does not start, or ends by an error. `None` where the browser has no workers.
    pub(crate) fn start(
        hear: impl Fn(Answer) + 'static,
        broke: impl Fn() + 'static,
    ) -> Option<Self> {
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let script = document().get_element_by_id(SCRIPT)?.get_attribute("src")?;
        let worker = web_sys::Worker::new_with_options(&script, &options).ok()?;
        let on_message = EventListener::new(&worker, "message", move |event| {
            if let Some(answer) = message(event) {
                hear(answer);
            }
        });
        let on_error = EventListener::new(&worker, "error", move |_| broke());
        let glue = document().query_selector("link[rel=modulepreload]").ok()??;
        let glue = glue.dyn_into::<HtmlLinkElement>().ok()?.href();
        let program = Object::new();
        for (name, value) in [("glue", glue.into()), ("program", wasm_bindgen::module())] {
            Reflect::set(&program, &name.into(), &value).ok()?;
        }
        worker.post_message(&program).ok()?;
        Some(Self { worker, _listeners: [on_message, on_error] })
    }

    /// Gives it a task.
    pub(crate) fn give(&self, task: &Task) {
        let text = serde_json::to_string(task).expect("a task can be written");
        self.worker.post_message(&JsValue::from_str(&text)).expect("a text can be posted");
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        self.worker.terminate();
    }
}

/// How many work at once without one waiting for another: as many as the machine has cores, within reason.
pub(crate) fn cores() -> usize {
    let cores = web_sys::window().map_or(1.0, |window| window.navigator().hardware_concurrency());
    (cores as usize).clamp(1, 8)
}
