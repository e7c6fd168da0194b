use super::describe::TOLD_FOR;
use nudgeproof::routine::{EventKind, RunLog};

/// Showing a run that has already been computed: which one, and how far into it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Playback {
    /// Place of the run among the session's runs, from 0.
    pub(crate) run: usize,
    /// The moment shown, s.
    pub(crate) t: f64,
    /// Up to where it plays, s: the end of the run, or of the single step.
    pub(crate) until: f64,
    pub(crate) playing: bool,
}

impl Playback {
    /// Plays from one moment to another.
    pub(crate) fn play(run: usize, from: f64, until: f64) -> Self {
        Self { run, t: from, until, playing: from < until }
    }

    /// Stands still at a moment.
    pub(crate) fn at(run: usize, t: f64, until: f64) -> Self {
        Self { run, t: t.clamp(0.0, until), until, playing: false }
    }

    /// A moment later: `dt` seconds of the viewer's time, `rate` seconds of the run in each.
    #[must_use]
    pub(crate) fn advance(self, dt: f64, rate: f64) -> Self {
        if !self.playing {
            return self;
        }
        let t = (self.t + dt * rate).min(self.until);
        Self { t, playing: t < self.until, ..self }
    }

    /// Whether the whole of it has been shown.
    pub(crate) fn at_end(&self, log: &RunLog) -> bool {
        self.t >= log.duration - 1e-9
    }
}

/// The moments of a run worth stopping at, in order: ends of legs and events, each once.
pub(crate) fn moments(log: &RunLog) -> Vec<f64> {
    let mut all: Vec<f64> = log
        .legs
        .iter()
        .map(|l| l.time[1])
        .chain(log.events.iter().map(|e| e.time))
        .chain([0.0, log.duration])
        .collect();
    all.sort_by(f64::total_cmp);
    all.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    all
}

/// When something of a run begins or ends, in order: between two of these only the torch moves.
pub(crate) fn beats(log: &RunLog) -> Vec<f64> {
    let mut all = moments(log);
    all.extend(log.searches.iter().map(|s| s.time));
    all.extend(log.solutions.iter().map(|s| s.time));
    all.extend(log.events.iter().map(|e| e.time + TOLD_FOR));
    all.sort_by(f64::total_cmp);
    all
}

/// The key moment after `t`, or the last.
pub(crate) fn next_moment(all: &[f64], t: f64) -> f64 {
    all.iter().find(|m| **m > t + 1e-6).or(all.last()).copied().unwrap_or(t)
}

/// The key moment before `t`, or the first.
pub(crate) fn previous_moment(all: &[f64], t: f64) -> f64 {
    all.iter().rev().find(|m| **m < t - 1e-6).or(all.first()).copied().unwrap_or(t)
}

/// Slow motion about a touch: this long before and after it, s.
const TOUCH: [f64; 2] = [0.25, 0.1];

/// How fast a moment of a run is shown: never faster than it happened while the wire touches.
pub(crate) fn pace(log: &RunLog, t: f64, rate: f64) -> f64 {
    let near = |time: f64| t > time - TOUCH[0] && t < time + TOUCH[1];
    let touching =
        log.events.iter().any(|e| matches!(e.what, EventKind::Touched { .. }) && near(e.time));
    if touching { rate.min(1.0) } else { rate }
}

/// Viewer's speeds offered: seconds of the run in one second.
pub(crate) const RATES: [f64; 5] = [0.25, 1.0, 3.0, 8.0, 20.0];
/// The one a run starts with.
pub(crate) const RATE: f64 = 8.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_plays_to_its_end_and_stops() {
        let p = Playback::play(0, 0.0, 2.0).advance(0.5, 3.0);
        assert!((p.t - 1.5).abs() < 1e-12 && p.playing, "{p:?}");
        let p = p.advance(0.5, 3.0);
        assert_eq!((p.t, p.playing), (2.0, false), "stops at the end");
        assert_eq!(p.advance(1.0, 1.0), p, "and stays");
    }

    #[test]
    fn moments_step_both_ways() {
        let all = [0.0, 1.0, 1.7, 4.0];
        assert_eq!(next_moment(&all, 1.0), 1.7, "on");
        assert_eq!(next_moment(&all, 4.0), 4.0, "stays at the last");
        assert_eq!(previous_moment(&all, 1.7), 1.0, "back");
        assert_eq!(previous_moment(&all, 0.0), 0.0, "stays at the first");
    }
}
