use crate::app::worker::{Worker, cores};
use leptos::prelude::*;
use nudgeproof::background::{Answer, Task};
use nudgeproof::cell::Part;
use nudgeproof::session::Tally;
use std::sync::Arc;

/// How many runs a study has.
pub(super) const RUNS: usize = 100_000;
/// How many a worker runs before it tells: a fifth of a second or so.
const AT_ONCE: usize = 1000;
/// The seed of every study, so that the same part has the same one.
pub(super) const SEED: u64 = 1;

/// A study of whole runs, shared out among workers.
#[derive(Clone, Copy)]
pub(super) struct Studying {
    tally: RwSignal<Option<Arc<Tally>>>,
    running: RwSignal<bool>,
    failed: RwSignal<bool>,
    /// The first run that nobody has been given yet.
    next: StoredValue<usize>,
    workers: StoredValue<Vec<Worker>, LocalStorage>,
}

impl Studying {
    pub(super) fn new() -> Self {
        let (tally, workers) = (RwSignal::new(None), StoredValue::new_local(Vec::new()));
        let (running, failed) = (RwSignal::new(false), RwSignal::new(false));
        Self { tally, running, failed, next: StoredValue::new(0), workers }
    }

    pub(super) fn is_running(self) -> bool {
        self.running.get()
    }

    /// Whether a worker broke, or could not be started.
    pub(super) fn failed(self) -> bool {
        self.failed.get()
    }

    /// What the runs so far came to.
    pub(super) fn tally(self) -> Option<Arc<Tally>> {
        self.tally.get()
    }

    /// Studies the model routine of a part.
    pub(super) fn start(self, part: Arc<Part>) {
        self.clear();
        self.running.set(true);
        for n in 0..cores() {
            let of = part.clone();
            let hear = move |answer| match answer {
                Answer::Study(more) => {
                    self.add(&more);
                    self.give(n, &of);
                }
                _ => self.fail(),
            };
            let Some(worker) = Worker::start(hear, move || self.fail()) else { return self.fail() };
            self.workers.update_value(|all| all.push(worker));
            self.give(n, &part);
        }
    }

    /// Gives a worker the next runs, if there are any left.
    fn give(self, worker: usize, part: &Part) {
        let from = self.next.get_value();
        if from >= RUNS {
            return;
        }
        let to = (from + AT_ONCE).min(RUNS);
        self.next.set_value(to);
        let task = Task::Study { part: part.clone(), seed: SEED, from, to };
        self.workers.with_value(|all| {
            if let Some(worker) = all.get(worker) {
                worker.give(task);
            }
        });
    }

    fn add(self, more: &Tally) {
        let mut tally = self.tally.get_untracked().map(Arc::unwrap_or_clone).unwrap_or_default();
        tally.merge(more);
        if tally.runs >= RUNS {
            self.stop();
        }
        self.tally.set(Some(Arc::new(tally)));
    }

    fn fail(self) {
        self.stop();
        self.failed.set(true);
    }

    /// Ends it; what was run so far stays.
    pub(super) fn stop(self) {
        self.running.set(false);
        for worker in self.workers.try_update_value(std::mem::take).unwrap_or_default() {
            worker.end();
        }
    }

    /// Ends it, and forgets it.
    pub(super) fn clear(self) {
        self.stop();
        self.tally.set(None);
        self.failed.set(false);
        self.next.set_value(0);
    }
}
