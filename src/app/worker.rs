//! Workers: what takes longer than a frame is asked of them. Their program (`src/worker`) is loaded when the
//! first of them starts.

use gloo::events::EventListener;
use gloo::timers::callback::Timeout;
use leptos::prelude::document;
use nudgeproof::background::{Answer, Task};
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{MessageEvent, WorkerOptions, WorkerType};

/// The element of `index.html` that names the script of a worker: its address is known when all is built.
const SCRIPT: &str = "meta[name=worker]";

/// A worker; dropped, it ends at once.
pub(crate) struct Worker {
    handle: web_sys::Worker,
    /// Tasks from before its program ran; `None` once it does.
    waiting: Rc<RefCell<Option<Vec<Task>>>>,
    /// Nothing more is heard of it.
    ended: Rc<Cell<bool>>,
    _listeners: [EventListener; 2],
}

impl Worker {
    /// Starts one. It gives one answer to each task. `broke` is called if it does not start, or ends by an
    /// error. `None` where the browser has no workers.
    pub(crate) fn start(
        hear: impl Fn(Answer) + 'static,
        broke: impl Fn() + 'static,
    ) -> Option<Self> {
        let script = document().query_selector(SCRIPT).ok()??.get_attribute("content")?;
        let options = WorkerOptions::new();
        // In the page that opens from disk it is no module: there a browser starts none (src/pack/embedded.js).
        if !script.starts_with("blob:") {
            options.set_type(WorkerType::Module);
        }
        let worker = web_sys::Worker::new_with_options(&script, &options).ok()?;
        let (ended, waiting) = (Rc::new(Cell::new(false)), Rc::new(RefCell::new(Some(Vec::new()))));
        let (over, held, to) = (ended.clone(), waiting.clone(), worker.clone());
        let on_message = EventListener::new(&worker, "message", move |event| {
            let text = event.dyn_ref::<MessageEvent>().and_then(|m| m.data().as_string());
            let answer = text.and_then(|text| serde_json::from_str(&text).ok());
            match answer.filter(|_| !over.get()) {
                Some(Answer::Ready) => {
                    held.take().iter().flatten().for_each(|task| post(&to, task));
                }
                Some(answer) => hear(answer),
                None => {}
            }
        });
        let over = ended.clone();
        let on_error = EventListener::new(&worker, "error", move |_| {
            if !over.get() {
                broke();
            }
        });
        Some(Self { handle: worker, waiting, ended, _listeners: [on_message, on_error] })
    }

    /// Ends it, also while one of its answers is being heard: none comes after that.
    pub(crate) fn end(self) {
        self.ended.set(true);
        Timeout::new(0, move || drop(self)).forget();
    }

    /// Gives it a task.
    pub(crate) fn give(&self, task: Task) {
        match self.waiting.borrow_mut().as_mut() {
            Some(waiting) => waiting.push(task),
            None => post(&self.handle, &task),
        }
    }
}

fn post(worker: &web_sys::Worker, task: &Task) {
    let text = serde_json::to_string(task).expect("a task can be written");
    worker.post_message(&JsValue::from_str(&text)).expect("a text can be posted");
}

impl Drop for Worker {
    fn drop(&mut self) {
        self.handle.terminate();
    }
}

/// How many work at once without one waiting for another: as many as the machine has cores, within reason.
pub(crate) fn cores() -> usize {
    let cores = web_sys::window().map_or(1.0, |window| window.navigator().hardware_concurrency());
    (cores as usize).clamp(1, 8)
}
