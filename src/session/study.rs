use super::action::{Action, CellState};
use super::state::State;
use super::tally::Tally;
use crate::cell::{Cell, Noise, Part};
use crate::geometry::{Pose, PoseFile};
use crate::routine::{Memory, RunLog, RunSpeed, Runner};
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;
use thiserror::Error;

/// Many production runs of one routine: the part nudged anew within the fixture's play each time,
/// every reading with its own noise, all of it drawn from one seed.
///
/// The runs are the real ones: the same cell, faults, runner and solver as on the sheet, to the last bit;
/// [`Study::actions_of`] makes any of them an ordinary run. The reference is the one the session has
/// stored, noise and all.
#[derive(Debug, Clone)]
pub struct Study {
    state: Arc<State>,
    seed: u64,
}

/// A part of a study: where it lies, and what its noise is drawn from.
#[derive(Debug, Clone, PartialEq)]
pub struct StudyPart {
    /// Where it lies, as files say it.
    pub place: PoseFile,
    /// Where bodies that move by themselves lie on it, by name.
    pub bodies: BTreeMap<String, PoseFile>,
    /// The seed of its noise.
    pub seed: u64,
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
        let mut state = state.clone();
        Arc::make_mut(&mut state.memory).reference_flag = false;
        state.believed = None;
        Ok(Self { state: Arc::new(state), seed })
    }

    /// The part that is welded.
    pub fn part(&self) -> &Part {
        &self.state.part
    }

    /// The part of this number: where it lies, and the seed of its noise.
    pub fn nth(&self, number: usize) -> StudyPart {
        let mut noise = Noise::new(self.seed, number as u64, NUDGE);
        let (place, own) = self.state.part.nudge(&mut noise);
        // A seed that every reader of JSON keeps.
        let seed = (noise.uniform() * MOST_EXACT) as u64;
        let bodies = own.into_iter().map(|(name, pose)| (name, pose.into())).collect();
        StudyPart { place: place.into(), bodies, seed }
    }

    /// Runs the parts of these numbers, each on its own: the tally of a range does not depend on what
    /// else is run, so ranges can be shared out and merged.
    pub fn run(&self, numbers: Range<usize>) -> Tally {
        let mut tally = Tally::default();
        let mut workplace = self.workplace();
        for number in numbers {
            let log = self.run_one(&mut workplace, self.nth(number), false);
            tally.count(number, &log);
            if !log.finished() {
                let told = self.run_one(&mut workplace, self.nth(number), true);
                tally.count_stop(number, &told);
            }
        }
        tally
    }

    /// The whole log of one part's run.
    pub fn log(&self, number: usize) -> Arc<RunLog> {
        self.run_one(&mut self.workplace(), self.nth(number), true)
    }

    /// The whole logs of runs with the part at every limit of the fixture's play.
    pub fn logs_at_limits(&self) -> impl Iterator<Item = Arc<RunLog>> {
        let mut workplace = self.workplace();
        self.state.part.play.corners().into_iter().map(move |place| {
            let part = StudyPart { place: place.into(), bodies: BTreeMap::new(), seed: self.seed };
            self.run_one(&mut workplace, part, true)
        })
    }

    fn workplace(&self) -> Workplace {
        Workplace { cell: self.state.cell(), memory: Memory::clone(&self.state.memory) }
    }

    /// `told`: with its whole log.
    fn run_one(&self, workplace: &mut Workplace, part: StudyPart, told: bool) -> Arc<RunLog> {
        let Workplace { cell, memory } = workplace;
        let state = &*self.state;
        let StudyPart { place, bodies, seed } = part;
        cell.wire = state.standing_in_tip(seed).0;
        cell.place_part(place.into());
        if !bodies.is_empty() {
            let own = bodies.into_iter().map(|(name, at)| (name, Pose::from(at)));
            cell.place_bodies(&own.collect());
        }
        // Each run begins with what the session remembers.
        let known = &state.memory.offsets;
        memory.offsets.retain(|name, offset| known.get(name).map(|o| *offset = *o).is_some());
        let options = state.run_options(seed, RunSpeed::Full, true, place.into());
        let runner = Runner::new(options, cell, state.part.rest);
        let mut runner = if told { runner } else { runner.untold() };
        cell.place_part(state.part_in_a_run(place.into()));
        runner.advance(&state.routine, cell, memory, None);
        runner.log().clone()
    }

    /// The actions that make the part of this number the next ordinary run of the session, to watch it.
    pub fn actions_of(&self, number: usize) -> Vec<Action> {
        let StudyPart { place, bodies, seed } = self.nth(number);
        let state = &*self.state;
        let abort = state.paused.is_some().then_some(Action::Abort);
        let hidden = state.concealed().then_some(Action::Reveal);
        let place = [Action::PlacePart { part: place, bodies }];
        let lock = |state| Action::SetCell { state };
        abort
            .into_iter()
            .chain(hidden)
            .chain([Action::SetReference { on: false }, lock(CellState::LockedOut)])
            .chain(place)
            .chain([lock(CellState::Ready), Action::NoiseFrom { seed }])
            .chain([Action::Run { speed: RunSpeed::Full, arc: true, steps: None }])
            .collect()
    }
}

/// What one worker runs parts in, one after the other.
struct Workplace {
    cell: Cell,
    memory: Memory,
}

/// The number under which a part is drawn: beyond any search's.
const NUDGE: u64 = u64::MAX;
/// Whole numbers below this are exact as floating point: 2⁵³.
const MOST_EXACT: f64 = 9_007_199_254_740_992.0;
