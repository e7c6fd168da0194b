//! The readings table: the reading of each touch in the reference run and in this run.

use super::shown::found_offsets;
use nudgeproof::geometry::{Point3, Pose};
use nudgeproof::routine::{
    LegKind, Memory, ReferenceTouch, RunKind, RunLog, Search, SearchOutcome, Solution,
    SolutionOutcome, StepId,
};
use nudgeproof::session::State;

/// One row of the readings table: a touch.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ReadingRow {
    /// The feel.
    pub(crate) step: StepId,
    pub(crate) number: usize,
    pub(crate) face: String,
    /// The reading that is stored, mm.
    pub(crate) reference: Option<Point3<f64>>,
    /// The reading of this run, mm; `None` if the search failed.
    pub(crate) now: Option<Point3<f64>>,
    /// How much further along its search this run touched, mm.
    pub(crate) later: Option<f64>,
}

/// The touches of a run beside the stored reference. Where a place was followed while it was felt,
/// both are as seen from that place.
pub(crate) fn rows(log: &RunLog, memory: &Memory) -> Vec<ReadingRow> {
    let row = |(i, search): (usize, &Search)| {
        let touch = stored(log, search, memory);
        let now = match &search.outcome {
            SearchOutcome::Touch { reading, .. } => {
                Some(followed(log, search, memory).inverse().point(reading))
            }
            _ => None,
        };
        let later = touch.zip(now).map(|(t, now)| (now - t.reading).dot(&t.search));
        let reference = touch.map(|t| t.reading);
        ReadingRow {
            step: search.step,
            number: i + 1,
            face: search.face.clone(),
            reference,
            now,
            later,
        }
    };
    log.searches.iter().enumerate().map(row).collect()
}

/// The stored touch that a search is compared with: of the place that the next find works out, or,
/// where the run did not get to one, of whichever place has it.
fn stored<'a>(log: &RunLog, search: &Search, memory: &'a Memory) -> Option<&'a ReferenceTouch> {
    let next = log.solutions.iter().find(|s| s.time >= search.time);
    let of_next = next.and_then(|s| memory.references.get(&s.place));
    let references = of_next.into_iter().chain(memory.references.values());
    references.flat_map(|r| &r.touches).find(|t| t.step == search.step)
}

/// The offset of the place that was followed during a search; none, where none was.
fn followed(log: &RunLog, search: &Search, memory: &Memory) -> Pose {
    let is_it = |step, time: f64| step == search.step && time <= search.time;
    let leg = log.legs.iter().rfind(|l| l.kind == LegKind::Search && is_it(l.step, l.time[1]));
    let Some(place) = leg.and_then(|leg| leg.follows.as_ref()) else { return Pose::identity() };
    let found = found_offsets(log, search.time).find(|(s, _)| s.place == *place);
    let before = || memory.offsets.get(place).copied().unwrap_or_default();
    found.map_or_else(before, |(_, offset)| offset)
}

/// An offset that a run found, and the true one where the learner may see it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ReportedOffset {
    pub(crate) place: String,
    pub(crate) motion: Pose,
    /// The true motion of the part since the reference; only once a run on a moved part is over.
    pub(crate) truth: Option<Pose>,
    /// Root mean square of the residuals, mm.
    pub(crate) residual_mm: f64,
}

/// The last offset that a run found of each place, in the order they were found.
pub(crate) fn reported_offsets(log: &RunLog, state: &State) -> Vec<ReportedOffset> {
    let mut out: Vec<ReportedOffset> = Vec::new();
    for solution in &log.solutions {
        let SolutionOutcome::Found { located, offset } = &solution.outcome else { continue };
        out.retain(|o| o.place != solution.place);
        out.push(ReportedOffset {
            place: solution.place.clone(),
            motion: *offset,
            truth: truth(log, &state.memory, solution).filter(|_| !state.concealed()),
            residual_mm: located.rms,
        });
    }
    out
}

fn truth(log: &RunLog, memory: &Memory, solution: &Solution) -> Option<Pose> {
    if !matches!(log.kind, RunKind::Dry | RunKind::Production) || !log.is_over() {
        return None;
    }
    let reference = memory.references.get(&solution.place)?;
    Some(log.part * reference.part.inverse())
}
