use super::histogram::{Capability, Histogram};
use crate::routine::{EventKind, RunLog, SearchOutcome, StepId};
use serde::{Deserialize, Serialize};

/// So many of the worst parts are remembered.
const WORST: usize = 12;

/// What the runs of a study came to. It takes the same memory however many they are, and the tallies of
/// two ranges add up to that of both, in any order.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Tally {
    /// Runs.
    pub runs: usize,
    /// Runs in which every weld landed.
    pub landed: usize,
    /// Runs that stopped before their last step.
    pub stopped: usize,
    /// Sizes of the largest seam miss of every run that welded, mm.
    pub worst_mm: Histogram,
    /// Both ends of each stretch of weld.
    pub ends: Vec<EndTally>,
    /// Why runs stopped.
    pub stops: Vec<StopTally>,
    /// The parts of the largest seam misses, the worst first.
    pub worst: Vec<WorstPart>,
}

/// How the runs came out at one end of a stretch of weld.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct EndTally {
    /// The step that ends the stretch.
    pub step: StepId,
    /// Whether it is the stretch's own end, and not its start.
    pub at_end: bool,
    /// The seam it is meant for.
    pub seam: String,
    /// Allowed either way across the wire, mm.
    pub tolerance_mm: f64,
    /// Misses across the wire, mm.
    pub across: Histogram,
    /// Misses in height, mm.
    pub height: Histogram,
    /// How many were within the tolerance across the wire.
    pub inside: usize,
}

/// Runs that stopped alike.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StopTally {
    /// The step.
    pub step: StepId,
    /// Why.
    #[serde(flatten)]
    pub why: StopReason,
    /// How many.
    pub runs: usize,
    /// The first part of them.
    pub first: usize,
}

/// Why a run stopped.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(tag = "why", rename_all = "snake_case")]
pub enum StopReason {
    /// The nozzle met something.
    NozzleMeets {
        /// The body.
        body: String,
    },
    /// A search met nothing within its reach.
    NothingFelt,
    /// The wire touched before the search began.
    AlreadyTouching {
        /// The body.
        body: String,
    },
    /// The wire met something and felt nothing: no voltage.
    NotFelt {
        /// The body.
        body: String,
    },
    /// The touches do not give the place.
    PlaceNotFound {
        /// The place.
        place: String,
    },
    /// The step cannot be done.
    CannotDo,
}

/// A part, and how far its weld missed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct WorstPart {
    /// Its number in the study.
    pub part: usize,
    /// Its largest seam miss, with its sign, mm.
    pub miss_mm: f64,
}

impl Tally {
    /// Counts the run of a part by its log, told or not.
    pub(super) fn count(&mut self, part: usize, log: &RunLog) {
        self.runs += 1;
        self.landed += usize::from(log.landed());
        self.stopped += usize::from(!log.finished());
        if let Some(miss_mm) = log.worst_miss() {
            self.worst_mm.add(miss_mm.abs());
            self.remember(WorstPart { part, miss_mm });
        }
        for weld in &log.welds {
            for (at_end, miss) in [false, true].into_iter().zip(&weld.miss) {
                // A weld that was stopped has no end to be judged by.
                if at_end && !weld.whole {
                    continue;
                }
                let end = self.end((weld.step, at_end), &weld.seam, weld.tolerance_mm);
                end.across.add(miss.across_mm);
                end.height.add(miss.height_mm);
                end.inside += usize::from(miss.across_mm.abs() <= end.tolerance_mm);
            }
        }
    }

    /// Counts why the run of a part stopped, by its whole log.
    pub(super) fn count_stop(&mut self, part: usize, log: &RunLog) {
        let Some(event) = log.stop() else { return };
        let why = match &event.what {
            EventKind::Crash { body, .. } => StopReason::NozzleMeets { body: body.clone() },
            EventKind::SearchFailed { search } => {
                match log.searches.get(*search).map(|s| &s.outcome) {
                    Some(SearchOutcome::AlreadyTouching { body }) => {
                        StopReason::AlreadyTouching { body: body.clone() }
                    }
                    Some(SearchOutcome::NotFelt { body }) => {
                        StopReason::NotFelt { body: body.clone() }
                    }
                    _ => StopReason::NothingFelt,
                }
            }
            EventKind::PlaceNotFound { place, .. } => {
                StopReason::PlaceNotFound { place: place.clone() }
            }
            _ => StopReason::CannotDo,
        };
        self.add_stop(StopTally { step: event.step, why, runs: 1, first: part });
    }

    fn add_stop(&mut self, stop: StopTally) {
        let key = |s: &StopTally| (s.step, s.why.clone());
        match self.stops.binary_search_by_key(&key(&stop), key) {
            Ok(i) => {
                self.stops[i].runs += stop.runs;
                self.stops[i].first = self.stops[i].first.min(stop.first);
            }
            Err(i) => self.stops.insert(i, stop),
        }
    }

    fn end(
        &mut self,
        (step, at_end): (StepId, bool),
        seam: &str,
        tolerance_mm: f64,
    ) -> &mut EndTally {
        let place = self.ends.binary_search_by_key(&(step, at_end), |e| (e.step, e.at_end));
        let i = place.unwrap_or_else(|i| {
            let (across, height) = (Histogram::default(), Histogram::default());
            let seam = seam.to_owned();
            let new = EndTally { step, at_end, seam, tolerance_mm, across, height, inside: 0 };
            self.ends.insert(i, new);
            i
        });
        &mut self.ends[i]
    }

    fn remember(&mut self, part: WorstPart) {
        let worse = |w: &WorstPart| {
            w.miss_mm.abs() > part.miss_mm.abs()
                || (w.miss_mm.abs() == part.miss_mm.abs() && w.part < part.part)
        };
        let at = self.worst.partition_point(worse);
        if at < WORST {
            self.worst.insert(at, part);
            self.worst.truncate(WORST);
        }
    }

    /// Adds the runs of another range.
    pub fn merge(&mut self, other: &Self) {
        self.runs += other.runs;
        self.landed += other.landed;
        self.stopped += other.stopped;
        self.worst_mm.merge(&other.worst_mm);
        for e in &other.ends {
            let end = self.end((e.step, e.at_end), &e.seam, e.tolerance_mm);
            end.across.merge(&e.across);
            end.height.merge(&e.height);
            end.inside += e.inside;
        }
        for stop in &other.stops {
            self.add_stop(stop.clone());
        }
        for part in &other.worst {
            self.remember(*part);
        }
    }
}

impl EndTally {
    /// How well it keeps within its tolerance, if the misses are normally distributed.
    pub fn capability(&self) -> Option<Capability> {
        self.across.capability(self.tolerance_mm)
    }
}
