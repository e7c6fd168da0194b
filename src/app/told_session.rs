use leptos::prelude::*;
use nudgeproof::session::{Session, Told};
use std::sync::Arc;

/// The session as the page tells it: without what an instructor did in secret.
#[derive(Clone, Copy)]
pub(crate) struct ToldSession {
    truth: RwSignal<Session>,
    told: Memo<Option<Arc<Told>>>,
}

impl ToldSession {
    pub(crate) fn new(truth: RwSignal<Session>) -> Self {
        let told = move |before: Option<&Option<Arc<Told>>>| {
            let before = before.and_then(|before| before.as_deref());
            Told::of(&truth.read(), before).map(Arc::new)
        };
        Self {
            truth,
            told: Memo::new_with_compare(told, |old, new| {
                !matches!((old, new), (Some(None), Some(None)))
            }),
        }
    }

    /// Reads it, tracked.
    pub(crate) fn with<T>(self, read: impl FnOnce(&Session) -> T) -> T {
        match self.told.get() {
            Some(told) => read(told.session()),
            None => self.truth.with(read),
        }
    }

    /// Whether something is kept secret; tracked.
    pub(crate) fn leaves_out(self) -> bool {
        self.told.read().is_some()
    }

    /// Reads it, not tracked.
    pub(crate) fn with_untracked<T>(self, read: impl FnOnce(&Session) -> T) -> T {
        untrack(|| self.with(read))
    }
}
