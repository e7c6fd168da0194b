//! How far a long task has come, on a terminal.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::time::Duration;

/// What takes less is not told of.
const PATIENCE: Duration = Duration::from_secs(1);

/// A line on standard error, if that is a terminal and the task takes longer than a second.
pub(crate) struct Progress(ProgressBar);

impl Progress {
    /// Begins a task of so many pieces, called by their plural; `None` if nobody knows how many.
    pub(crate) fn of(pieces: Option<u64>, what: &'static str) -> Self {
        let bar = ProgressBar::with_draw_target(pieces, ProgressDrawTarget::hidden());
        let layout = match pieces {
            Some(_) => "{wide_bar} {pos} of {len} {msg}, {eta} left",
            None => "{pos} {msg}, {per_sec}",
        };
        let style = ProgressStyle::with_template(layout);
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
        bar.set_message(what);
        Self(bar)
    }

    /// So many pieces more are done.
    pub(crate) fn advance(&self, pieces: u64) {
        if self.0.is_hidden() && self.0.elapsed() > PATIENCE {
            // Draws nothing where standard error is no terminal.
            self.0.set_draw_target(ProgressDrawTarget::stderr());
        }
        self.0.inc(pieces);
    }

    /// Does something that writes on standard error, with the line out of its way.
    pub(crate) fn aside(&self, write: impl FnOnce()) {
        self.0.suspend(write);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}
