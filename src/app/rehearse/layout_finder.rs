use crate::app::worker::Worker;
use leptos::prelude::*;
use nudgeproof::background::{Answer, Task};
use nudgeproof::cell::Part;
use nudgeproof::lesson::LayoutChoice;
use std::sync::Arc;

/// The layout that a part was drawn with, where it holds every weld, and the best ones.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Layouts {
    pub(super) own: Option<LayoutChoice>,
    pub(super) best: Vec<LayoutChoice>,
}

/// Looks for the best layouts of touches, in a worker.
#[derive(Clone, Copy)]
pub(super) struct LayoutFinder {
    found: RwSignal<Option<Arc<Layouts>>>,
    looking: RwSignal<bool>,
    failed: RwSignal<bool>,
    /// Faces of the part that are not touched, and all that may be kept out.
    kept_out: RwSignal<Vec<String>>,
    faces: RwSignal<Vec<String>>,
    worker: StoredValue<Option<Worker>, LocalStorage>,
}

impl LayoutFinder {
    pub(super) fn new() -> Self {
        let (found, worker) = (RwSignal::new(None), StoredValue::new_local(None));
        let (looking, failed) = (RwSignal::new(false), RwSignal::new(false));
        let (kept_out, faces) = (RwSignal::new(Vec::new()), RwSignal::new(Vec::new()));
        Self { found, looking, failed, kept_out, faces, worker }
    }

    pub(super) fn is_looking(self) -> bool {
        self.looking.get()
    }

    /// Whether the worker broke, or could not be started.
    pub(super) fn failed(self) -> bool {
        self.failed.get()
    }

    pub(super) fn found(self) -> Option<Arc<Layouts>> {
        self.found.get()
    }

    /// The faces that layouts found so far have touched.
    pub(super) fn faces(self) -> Vec<String> {
        self.faces.get()
    }

    pub(super) fn keeps_out(self, face: &str) -> bool {
        self.kept_out.with(|out| out.iter().any(|f| f == face))
    }

    /// Keeps touches off a face, or no longer.
    pub(super) fn keep_out(self, face: &str, out: bool) {
        self.kept_out.update(|kept| {
            kept.retain(|f| f != face);
            if out {
                kept.push(face.to_owned());
            }
        });
    }

    /// Looks for those of a part.
    pub(super) fn start(self, part: &Part) {
        self.stop();
        let hear = move |answer| match answer {
            Answer::Layouts { own, best } => self.end(Some(Layouts { own, best })),
            _ => self.end(None),
        };
        let worker = Worker::start(hear, move || self.end(None));
        if let Some(worker) = &worker {
            let kept_out = self.kept_out.get_untracked();
            worker.give(Task::Layouts { part: Part::clone(part), kept_out });
        }
        self.looking.set(worker.is_some());
        self.failed.set(worker.is_none());
        self.worker.set_value(worker);
    }

    fn end(self, found: Option<Layouts>) {
        self.stop();
        self.failed.set(found.is_none());
        let Some(found) = found else { return };
        self.faces.update(|faces| {
            for touch in found.own.iter().chain(&found.best).flat_map(|c| &c.part.model_touches) {
                if !faces.contains(&touch.face) {
                    faces.push(touch.face.clone());
                }
            }
        });
        self.found.set(Some(Arc::new(found)));
    }

    fn stop(self) {
        self.looking.set(false);
        if let Some(worker) = self.worker.try_update_value(Option::take).flatten() {
            worker.end();
        }
    }

    /// Ends it, and forgets all: the part is another one.
    pub(super) fn clear(self) {
        self.stop();
        self.failed.set(false);
        self.found.set(None);
        self.kept_out.set(Vec::new());
        self.faces.set(Vec::new());
    }
}
