//! Facts that several rules need, computed once.

mod forecast;
mod limits;
mod motions;
mod runs;
mod sees;
mod touches;
mod words;

pub(super) use crate::session::still;
pub(super) use forecast::{FoundTouch, Spread, WeldEnd, found_motion};
pub(super) use limits::{Hit, hits, quiet, says_limit};
pub(super) use motions::{motion_after, motion_before};
pub(super) use runs::RunFacts;
pub(super) use sees::{apart, most_on_one_face, unseen, verb, verbs};
pub(super) use touches::{Meeting, Meets, TouchFacts, body_extent, look};

use crate::cell::Cell;
use crate::geometry::{Point3, Pose};
use crate::routine::{FindBlock, Instruction, Routine, Structure};
use crate::session::{Session, State};

/// The routine, the session and the true poses, as the rules read them.
pub(super) struct Facts<'a> {
    pub(super) state: &'a State,
    /// The session; `None` if only the routine is checked.
    pub(super) session: Option<&'a Session>,
    pub(super) routine: &'a Routine,
    pub(super) structure: Structure,
    pub(super) touches: Vec<TouchFacts>,
    /// A cell without faults, the part at the pose for which the points were taught; `None` if the part
    /// cannot be used.
    pub(super) cell: Option<Cell>,
    /// Pose of the part when the weld points were taught.
    pub(super) taught: Pose,
    /// All runs, the oldest first.
    pub(super) runs: Vec<RunFacts>,
    /// Number of the last good reference run.
    last_good_reference: Option<usize>,
    /// Index in `runs` where the current attempt begins.
    pub(super) attempt: usize,
    /// What the torch runs into with the part where it was taught, and at the limits of its play; only
    /// of a routine that is complete.
    pub(super) hits: Vec<Hit>,
    /// Whether the routine is complete: it ends at home, or has been run.
    pub(super) whole: bool,
}

impl<'a> Facts<'a> {
    pub(super) async fn of_state(state: &'a State) -> Self {
        let taught =
            state.memory.references.values().next().map_or_else(Pose::identity, |r| r.part);
        Self::new(state, None, taught, Vec::new(), true).await
    }

    pub(super) async fn of_session(session: &'a Session) -> Self {
        let state = session.state();
        Self::new(state, Some(session), state.taught_place(), runs::runs(state), true).await
    }

    /// Of a session that was played; without what its feels and ways meet, unless the coach `looks`.
    pub(super) async fn of_replay(state: &'a State, looks: bool) -> Self {
        Self::new(state, None, state.taught_place(), runs::runs(state), looks).await
    }

    async fn new(
        state: &'a State,
        session: Option<&'a Session>,
        taught: Pose,
        runs: Vec<RunFacts>,
        looks: bool,
    ) -> Self {
        let routine: &Routine = &state.routine;
        let structure = Structure::of(routine);
        let mut cell = Cell::new(&state.part, &state.settings, &[]).ok();
        let touches = match &mut cell {
            Some(cell) if looks => {
                let extremes = state.part.extremes();
                touches::touches(routine, &structure, cell, taught, &extremes).await
            }
            _ => Vec::new(),
        };
        let last_good_reference = runs.iter().rfind(|r| r.good_reference()).map(|r| r.number);
        let attempt = last_good_reference.map_or(0, |number| attempt(&runs, number));
        // After the last move home there may still stand *sensing off* or *trim*.
        let last = routine
            .steps
            .iter()
            .rfind(|s| !matches!(s.instruction, Instruction::SensingOff | Instruction::TrimWire));
        let ends_home = routine.steps.len() > 1 && last.is_some_and(|s| s.instruction.is_home());
        // A run of an unfinished routine does not make it complete.
        let run_as_it_is = runs.last().is_some_and(|r| r.routine.steps == routine.steps);
        let whole = ends_home || run_as_it_is || !runs.is_empty();
        let hits =
            if whole && looks { limits::hits(state, routine, taught).await } else { Vec::new() };
        Self {
            state,
            session,
            routine,
            structure,
            touches,
            cell,
            taught,
            runs,
            last_good_reference,
            attempt,
            hits,
            whole,
        }
    }

    /// The last run before `run` that stored a reference.
    pub(super) fn reference_before(&self, run: &RunFacts) -> Option<&RunFacts> {
        run.reference_before.map(|number| &self.runs[number - 1])
    }

    /// Whether a good reference run came after this one and corrected its effects.
    pub(super) fn good_reference_after(&self, run: &RunFacts) -> bool {
        self.last_good_reference.is_some_and(|number| number > run.number)
    }

    /// The runs of the current attempt.
    pub(super) fn current(&self) -> &[RunFacts] {
        &self.runs[self.attempt..]
    }

    /// The touches that a find uses, in order.
    pub(super) fn touches_of(&self, find: &FindBlock) -> Vec<&TouchFacts> {
        self.touches.iter().filter(|t| find.feels.contains(&t.step)).collect()
    }

    /// The find at step `i`.
    pub(super) fn find_at(&self, i: usize) -> Option<&FindBlock> {
        self.structure.finds.iter().find(|find| find.step == i)
    }

    /// The taught point of step `i`, mm.
    pub(super) fn at(&self, i: usize) -> Option<Point3<f64>> {
        let name = self.routine.steps.get(i)?.instruction.point()?;
        self.routine.point(name).map(|p| p.at)
    }
}

/// Index of the run that begins the current attempt: the first of the flag-on runs that end with the
/// last good reference run (flag on, stored, the part where the points were taught), of this number. One
/// with the arc on, or with the flag off since, was made anew by the next. Mistakes before it no longer
/// count.
fn attempt(runs: &[RunFacts], last_good_reference: usize) -> usize {
    let made_anew = |i: &usize| {
        let before = &runs[i - 1];
        !before.reference() || before.log.arc || runs[*i].flag_was_off
    };
    (1..last_good_reference).rev().find(made_anew).unwrap_or(0)
}
