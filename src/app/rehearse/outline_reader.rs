use crate::app::logic::traced::Traced;
use crate::app::worker::Worker;
use leptos::prelude::*;
use nudgeproof::background::{Answer, Task};
use nudgeproof::drawing::{DrawingReport, Unit};
use std::sync::Arc;

/// A drawing file that is read in a worker, and what of it was chosen.
#[derive(Clone, Copy)]
pub(super) struct OutlineReader {
    /// Name of the file; the dialog is open while there is one.
    name: RwSignal<Option<String>>,
    file: StoredValue<Arc<Vec<u8>>>,
    unit: RwSignal<Option<Unit>>,
    report: RwSignal<Option<Arc<DrawingReport>>>,
    /// Why there is no drawing, in a sentence; empty where the worker broke.
    refused: RwSignal<Option<String>>,
    outline: RwSignal<usize>,
    front: RwSignal<Option<usize>>,
    worker: StoredValue<Option<Worker>, LocalStorage>,
}

impl OutlineReader {
    pub(super) fn new() -> Self {
        Self {
            name: RwSignal::new(None),
            file: StoredValue::default(),
            unit: RwSignal::new(None),
            report: RwSignal::new(None),
            refused: RwSignal::new(None),
            outline: RwSignal::new(0),
            front: RwSignal::new(None),
            worker: StoredValue::new_local(None),
        }
    }

    pub(super) fn name(self) -> Option<String> {
        self.name.get()
    }

    pub(super) fn refused(self) -> Option<String> {
        self.refused.get()
    }

    pub(super) fn report(self) -> Option<Arc<DrawingReport>> {
        self.report.get()
    }

    /// The unit that was chosen.
    pub(super) fn unit(self) -> Option<Unit> {
        self.unit.get()
    }

    /// Whether lengths are sure: the file names its unit, or a person did.
    pub(super) fn has_unit(self) -> bool {
        let said = |report: &Arc<DrawingReport>| report.unit.mm().is_some();
        self.unit.get().is_some() || self.report.with(|report| report.as_ref().is_some_and(said))
    }

    /// The outline at hand, with the edges that can lie in front.
    pub(super) fn traced(self) -> Option<Traced> {
        let outline = self.outline.get();
        self.report.with(|report| Traced::new(report.as_ref()?, outline))
    }

    pub(super) fn outline(self) -> usize {
        self.outline.get()
    }

    /// The edge that lies in front.
    pub(super) fn front(self) -> Option<usize> {
        self.front.get()
    }

    pub(super) fn choose_outline(self, outline: usize) {
        self.outline.set(outline);
        self.front.set(untrack(|| self.traced()).and_then(|traced| traced.lowest()));
    }

    pub(super) fn choose_front(self, edge: usize) {
        self.front.set(Some(edge));
    }

    pub(super) fn choose_unit(self, unit: Option<Unit>) {
        self.unit.set(unit);
        self.read();
    }

    /// Reads another file.
    pub(super) fn open(self, name: String, file: Vec<u8>) {
        self.close();
        self.name.set(Some(name));
        self.file.set_value(Arc::new(file));
        self.read();
    }

    /// Tells why a file could not even be taken.
    pub(super) fn refuse(self, name: String, why: String) {
        self.close();
        self.name.set(Some(name));
        self.refused.set(Some(why));
    }

    fn read(self) {
        let hear = move |answer| match answer {
            Answer::Drawing(report) => {
                self.end();
                self.report.set(Some(Arc::new(report)));
                self.choose_outline(self.outline.get_untracked());
            }
            Answer::Refused(why) => {
                self.end();
                self.refused.set(Some(why));
            }
            Answer::Ready | Answer::Study(_) | Answer::Layouts { .. } => {}
        };
        let broke = move || {
            self.end();
            self.refused.set(Some(String::new()));
        };
        self.end();
        self.report.set(None);
        self.refused.set(None);
        match Worker::start(hear, broke) {
            Some(worker) => {
                worker.give(Task::drawing(&self.file.get_value(), self.unit.get_untracked()));
                self.worker.set_value(Some(worker));
            }
            None => broke(),
        }
    }

    fn end(self) {
        if let Some(worker) = self.worker.try_update_value(Option::take).flatten() {
            worker.end();
        }
    }

    /// Puts all of it away.
    pub(super) fn close(self) {
        self.end();
        self.name.set(None);
        self.file.set_value(Arc::default());
        self.unit.set(None);
        self.report.set(None);
        self.refused.set(None);
        self.outline.set(0);
        self.front.set(None);
    }
}
