//! The run on show, and how far it is.
//!
//! Playback is split by update rate: each frame, each beat (something begins or ends), and a few
//! times a second. Re-running a view costs time even if its output is the same, so these are
//! signals that are set only when they change, and not memos of the frame: a memo would wake all
//! that depends on it at each frame.

use super::logic::playback::{Moment, Playback, beats};
use leptos::prelude::*;
use nudgeproof::routine::RunLog;
use std::sync::Arc;

/// Frames between two updates of the slow signal while a run plays.
const SLOW: u32 = 6;

/// What is on show; `None` if no run is.
#[derive(Clone, Copy)]
pub(crate) struct PlaybackState {
    /// Set with every frame.
    frame: RwSignal<Option<Playback>>,
    /// Set when something of the run begins or ends, and at every change while nothing plays.
    beat: RwSignal<Option<Playback>>,
    /// Set with each beat and a few times a second, for numbers: faster ones could not be read.
    slow: RwSignal<Option<Playback>>,
    run: RwSignal<Option<usize>>,
    playing: RwSignal<bool>,
    /// When something begins or ends in the run on show.
    beats: Memo<Vec<Moment>>,
    frames: StoredValue<u32>,
}

impl PlaybackState {
    /// Nothing is on show.
    pub(crate) fn new(runs: Memo<Vec<Arc<RunLog>>>) -> Self {
        let run = RwSignal::new(None::<usize>);
        let beats = Memo::new(move |_| {
            let log = run.get().and_then(|run| runs.read().get(run).cloned());
            log.map_or_else(Vec::new, |log| beats(&log))
        });
        Self {
            frame: RwSignal::new(None),
            beat: RwSignal::new(None),
            slow: RwSignal::new(None),
            run,
            playing: RwSignal::new(false),
            beats,
            frames: StoredValue::new(0),
        }
    }

    /// Shows another run, another moment, or nothing.
    pub(crate) fn set(&self, to: Option<Playback>) {
        set_if_changed(self.run, to.map(|p| p.run));
        let plays = to.is_some_and(|p| p.playing);
        set_if_changed(self.playing, plays);
        let count = self.frames.get_value() + 1;
        self.frames.set_value(count);
        let before = self.beat.get_untracked();
        let beat = !plays || self.key(to) != self.key(before);
        if beat {
            set_if_changed(self.beat, to);
        }
        if beat || count.is_multiple_of(SLOW) {
            set_if_changed(self.slow, to);
        }
        set_if_changed(self.frame, to);
    }

    /// Changes what is on show.
    pub(crate) fn update(&self, change: impl FnOnce(&mut Option<Playback>)) {
        let mut to = self.get_untracked();
        change(&mut to);
        self.set(to);
    }

    /// What stays the same between two beats.
    fn key(&self, p: Option<Playback>) -> Option<(Playback, usize)> {
        let p = p?;
        let passed = self.beats.read_untracked().partition_point(|b| b.reached(&p.moment()));
        Some((Playback { t: 0.0, stood: 0.0, ..p }, passed))
    }

    /// How far it is, frame by frame.
    pub(crate) fn get(&self) -> Option<Playback> {
        self.frame.get()
    }

    /// How far it is, not tracked: for handlers.
    pub(crate) fn get_untracked(&self) -> Option<Playback> {
        self.frame.get_untracked()
    }

    /// How far it is; notifies when something begins or ends.
    pub(crate) fn beat(&self) -> Option<Playback> {
        self.beat.get()
    }

    /// How far it is; notifies a few times a second.
    pub(crate) fn slow(&self) -> Option<Playback> {
        self.slow.get()
    }

    /// Which run it is; notifies only if the run changes.
    pub(crate) fn run(&self) -> Option<usize> {
        self.run.get()
    }

    /// Whether it plays.
    pub(crate) fn playing(&self) -> bool {
        self.playing.get()
    }
}

/// Sets a signal, and notifies only if the value changes.
pub(crate) fn set_if_changed<T: PartialEq + Send + Sync + 'static>(signal: RwSignal<T>, to: T) {
    signal.maybe_update(|value| {
        let changed = *value != to;
        *value = to;
        changed
    });
}
