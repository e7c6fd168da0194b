use crate::app::logic::playback::{Scene, scene_at, scenes};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::routine::RunLog;
use std::sync::Arc;

/// The run in the drawing, and how far it has been shown: what each part of the picture reads.
#[derive(Clone, Copy)]
pub(super) struct RunShown {
    /// The run on show, or the last.
    pub(super) log: Memo<Option<Arc<RunLog>>>,
    /// Its place among the runs, from 0.
    pub(super) index: Memo<Option<usize>>,
    /// Where it stands still, and for what.
    pub(super) scenes: Memo<Vec<Scene>>,
    /// The scene on show.
    pub(super) scene: Memo<Option<Scene>>,
}

impl RunShown {
    pub(super) fn new() -> Self {
        let workspace = workspace();
        let log = Memo::new_with_compare(
            move |_| workspace.shown_run(),
            |old, new| match (old, new) {
                (Some(Some(old)), Some(Some(new))) => !Arc::ptr_eq(old, new),
                (old, new) => old != new,
            },
        );
        let index = Memo::new(move |_| workspace.shown_index());
        let scenes = Memo::new(move |_| log.read().as_ref().map_or_else(Vec::new, |l| scenes(l)));
        let scene = Memo::new(move |_| {
            let now = workspace.playback.beat()?.moment();
            scene_at(&scenes.read(), now)
        });
        Self { log, index, scenes, scene }
    }
}
