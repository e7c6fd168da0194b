//! The run on show, and how far it is. Most of what is drawn changes only where something of the
//! run begins or ends: that is told apart from what changes with every frame, because in a web of
//! signals even a view that stays as it is costs time once it has been asked.

use super::live::{Live, Var, memo};
use super::logic::playback::{Playback, beats};
use leptos::prelude::*;
use nudgeproof::routine::RunLog;
use std::sync::Arc;

/// Frames from one telling of the slow clock to the next while a run plays.
const SLOW: u32 = 4;

/// What is on show; `None` if no run is.
#[derive(Clone, Copy)]
pub(crate) struct Show {
    /// Told with every frame.
    frame: Var<Option<Playback>>,
    /// Told where something of the run begins or ends, and whenever nothing plays.
    beat: Var<Option<Playback>>,
    /// Told a few times a second: for numbers that nobody could read faster.
    slow: Var<Option<Playback>>,
    run: Var<Option<usize>>,
    playing: Var<bool>,
    /// When something begins or ends in the run on show, s.
    beats: Live<Vec<f64>>,
    frames: StoredValue<u32>,
}

impl Show {
    /// Nothing is on show.
    pub(crate) fn new(runs: Var<Vec<Arc<RunLog>>>) -> Self {
        let run = Var::new(None::<usize>);
        let beats = memo(move || {
            let log = run.get().and_then(|run| runs.read().get(run).cloned());
            log.map_or_else(Vec::new, |log| beats(&log))
        });
        Self {
            frame: Var::new(None),
            beat: Var::new(None),
            slow: Var::new(None),
            run,
            playing: Var::new(false),
            beats,
            frames: StoredValue::new(0),
        }
    }

    /// Shows another run, another moment, or nothing.
    pub(crate) fn set(&self, to: Option<Playback>) {
        tell_change(self.run, to.map(|p| p.run));
        let plays = to.is_some_and(|p| p.playing);
        tell_change(self.playing, plays);
        let count = self.frames.get_value() + 1;
        self.frames.set_value(count);
        let before = self.beat.get_untracked();
        if !plays || self.key(to) != self.key(before) {
            tell_change(self.beat, to);
        }
        if !plays || count.is_multiple_of(SLOW) {
            tell_change(self.slow, to);
        }
        tell_change(self.frame, to);
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
        let passed = self.beats.read_untracked().partition_point(|b| *b <= p.t + 1e-9);
        Some((Playback { t: 0.0, ..p }, passed))
    }

    /// How far it is, frame by frame.
    pub(crate) fn get(&self) -> Option<Playback> {
        self.frame.get()
    }

    /// How far it is, not tracked: for handlers.
    pub(crate) fn get_untracked(&self) -> Option<Playback> {
        self.frame.get_untracked()
    }

    /// How far it is, told where something begins or ends.
    pub(crate) fn beat(&self) -> Option<Playback> {
        self.beat.get()
    }

    /// How far it is, told a few times a second.
    pub(crate) fn slow(&self) -> Option<Playback> {
        self.slow.get()
    }

    /// Which run, told when it is another one.
    pub(crate) fn run(&self) -> Option<usize> {
        self.run.get()
    }

    /// Whether it plays.
    pub(crate) fn playing(&self) -> bool {
        self.playing.get()
    }
}

/// Sets a signal only if that changes it: nobody is asked for nothing.
pub(crate) fn tell_change<T: PartialEq + Send + Sync + 'static>(signal: Var<T>, to: T) {
    if *signal.read_untracked() != to {
        signal.set(to);
    }
}
