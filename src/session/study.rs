use super::state::State;
use crate::cell::Noise;
use crate::routine::{Memory, Routine, RunOptions, Runner};
use serde::Serialize;
use std::sync::Arc;
use thiserror::Error;

/// Many production runs of one routine: the part nudged anew within the fixture's play each time,
/// every reading with its own noise, all of it drawn from one seed.
///
/// The runs are the real ones: the same cell, runner and solver as on the sheet. The reference is
/// the one the session has stored, noise and all.
#[derive(Debug, Clone)]
pub struct Study {
    state: State,
    routine: Arc<Routine>,
    seed: u64,
}

/// Why a session cannot be studied.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum StudyError {
    /// There is nothing to compare with.
    #[error("place {0:?} has no reference yet: expected a session with a reference run")]
    NoReference(String),
    /// There is nothing to run.
    #[error("the routine finds no place: expected a routine that locates its part")]
    NoPlace,
}

/// How many runs went how.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Tally {
    /// Largest seam miss of every run that welded, by size, mm; rising once sorted.
    #[serde(skip)]
    pub misses_mm: Vec<f64>,
    /// Runs.
    pub runs: usize,
    /// Runs in which every weld landed.
    pub landed: usize,
    /// Runs that stopped before their last step.
    pub stopped: usize,
}

/// Whether the routine of a session can compare one part after the other with a reference.
///
/// # Errors
/// If it finds no place, or has no reference of one.
pub(crate) fn check_study(state: &State) -> Result<(), StudyError> {
    let places = state.routine.places();
    if places.is_empty() {
        return Err(StudyError::NoPlace);
    }
    match places.iter().find(|p| !state.memory.references.contains_key(**p)) {
        Some(place) => Err(StudyError::NoReference((*place).into())),
        None => Ok(()),
    }
}

impl Study {
    /// A study of the session as it stands, with the reference flag off.
    ///
    /// # Errors
    /// If it finds no place, or has no reference of one to compare with.
    pub fn new(state: &State, seed: u64) -> Result<Self, StudyError> {
        check_study(state)?;
        Ok(Self { state: state.clone(), routine: state.routine.clone(), seed })
    }

    /// Runs `numbers` of the study, each on its own: the tally of a range does not depend on what
    /// else is run, so ranges can be shared out and merged.
    pub fn run(&self, numbers: std::ops::Range<usize>) -> Tally {
        let empty = self.state.cell();
        let part = &self.state.part;
        let mut tally = Tally::default();
        for number in numbers {
            let mut cell = empty.clone();
            let (place, own) = part.nudge(&mut Noise::new(self.seed, number as u64, NUDGE));
            cell.place_part(place);
            cell.place_bodies(&own);
            let options = RunOptions { arc: true, ..RunOptions::new(number, self.seed) };
            let mut memory = Memory { reference_flag: false, ..Memory::clone(&self.state.memory) };
            let mut runner = Runner::new(options, &cell, self.state.part.rest);
            runner.advance(&self.routine, &mut cell, &mut memory, None);
            let log = runner.log();
            tally.runs += 1;
            tally.landed += usize::from(log.landed());
            tally.stopped += usize::from(!log.finished());
            tally.misses_mm.extend(log.worst_miss().map(f64::abs));
        }
        tally
    }
}

/// The number under which a run's nudge is drawn: beyond any search's.
const NUDGE: u64 = u64::MAX;

impl Tally {
    /// Adds the runs of another range.
    pub fn merge(&mut self, other: Self) {
        self.runs += other.runs;
        self.landed += other.landed;
        self.stopped += other.stopped;
        self.misses_mm.extend(other.misses_mm);
    }

    /// The seam miss that this share of the welded runs does not exceed, mm: nearest rank, the
    /// ⌈share · n⌉-th smallest. `None` if nothing welded. Sorts the misses.
    pub fn percentile(&mut self, share: f64) -> Option<f64> {
        self.misses_mm.sort_unstable_by(f64::total_cmp);
        let n = self.misses_mm.len();
        let rank = (share * n as f64).ceil() as usize;
        self.misses_mm.get(rank.clamp(1, n.max(1)) - 1).copied()
    }
}
