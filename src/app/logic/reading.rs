//! The readings table: the reading of each touch in the reference run and in this run.

use nudgeproof::geometry::{Point3, Pose};
use nudgeproof::routine::{Memory, RunKind, RunLog, SearchOutcome, Solution, SolutionOutcome};
use nudgeproof::session::State;

/// One row of the readings table: a touch.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ReadingRow {
    pub(crate) number: usize,
    pub(crate) face: String,
    /// The reading that is stored, mm.
    pub(crate) reference: Option<Point3<f64>>,
    /// The reading of this run, mm; `None` if the search failed.
    pub(crate) now: Option<Point3<f64>>,
    /// How much further along its search this run touched, mm.
    pub(crate) later: Option<f64>,
}

/// The touches of a run beside the stored reference.
pub(crate) fn rows(log: &RunLog, memory: &Memory) -> Vec<ReadingRow> {
    log.searches
        .iter()
        .enumerate()
        .map(|(i, search)| {
            let stored = search.plan.as_ref().and_then(|p| memory.references.get(p));
            let touch = stored.and_then(|r| r.touches.iter().find(|t| t.step == search.step));
            let reference = touch.map(|t| t.reading);
            let now = match &search.outcome {
                SearchOutcome::Touch { reading, .. } => Some(*reading),
                _ => None,
            };
            let later = reference.zip(now).map(|(r, n)| (n - r).dot(&search.direction));
            ReadingRow { number: i + 1, face: search.face.clone(), reference, now, later }
        })
        .collect()
}

/// How far past its side each touch of a run lies, mm, as one would measure it by hand: against
/// where the part is believed to lie, and where it was believed to lie for the reference.
pub(crate) fn depths(log: &RunLog, state: &State) -> Vec<f64> {
    let then = super::shown::reference_pose(state).unwrap_or_else(Pose::identity);
    let moved = log.part * then.inverse();
    let rows = rows(log, &state.memory);
    let each = rows.into_iter().zip(&log.searches).filter_map(|(row, search)| {
        let (reference, now) = row.reference.zip(row.now)?;
        Some((now - moved.point(&reference)).dot(&moved.vector(&search.direction)))
    });
    each.collect()
}

/// An offset that a run found, and the true one where the learner may see it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ReportedOffset {
    pub(crate) name: String,
    pub(crate) motion: Pose,
    /// The true motion of the part since the reference; only once a production run is over.
    pub(crate) truth: Option<Pose>,
    /// Root mean square of the residuals, mm.
    pub(crate) residual_mm: Option<f64>,
}

/// The last offset a run found.
pub(crate) fn reported_offset(log: &RunLog, state: &State) -> Option<ReportedOffset> {
    let (solution, located) = log.solutions.iter().rev().find_map(|s| match &s.outcome {
        SolutionOutcome::Found { located } => Some((s, located)),
        _ => None,
    })?;
    Some(ReportedOffset {
        name: solution.offset.clone(),
        motion: located.motion,
        truth: truth(log, &state.memory, solution).filter(|_| !state.concealed()),
        residual_mm: Some(located.rms),
    })
}

fn truth(log: &RunLog, memory: &Memory, solution: &Solution) -> Option<Pose> {
    if log.kind != RunKind::Production || log.end.is_none() {
        return None;
    }
    let reference = memory.references.get(&solution.plan)?;
    Some(log.part * reference.part.inverse())
}
