//! What a seed plants: nothing in one attempt of six, two faults in one of four, else one.

use super::pairs::may_come_together;
use super::template::FaultTemplate;
use crate::cell::{Fault, Noise, Part};
use crate::geometry::PoseFile;
use crate::lesson::model::Faces;
use crate::routine::{RunLog, SearchOutcome};
use crate::session::{Session, Sign, State};

/// Shares of attempts.
const NOTHING: f64 = 1.0 / 6.0;
const TWO: f64 = 1.0 / 4.0;

/// The last run before the learner begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::lesson) struct LastRun {
    /// Whether it welds, or is one more dry run.
    pub(in crate::lesson) arc: bool,
    /// Where the next part is put for it; `None` if it is made on the same part as the run before.
    pub(in crate::lesson) next_part: Option<PoseFile>,
}

/// What an attempt at a drill has of its own.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::lesson) struct Drawn {
    /// What is planted: none, one or two.
    pub(in crate::lesson) faults: Vec<Fault>,
    /// Each fault of the drill as it would be on this part, planted or not; those that the part has a
    /// place for.
    pub(in crate::lesson) possible: Vec<Fault>,
    pub(in crate::lesson) last_run: LastRun,
}

/// How many faults the attempt of this seed has, whatever else is drawn.
fn count(seed: u64) -> usize {
    let share = Noise::new(seed, 1, 0).uniform();
    if share < NOTHING {
        0
    } else if share < NOTHING + TWO {
        2
    } else {
        1
    }
}

/// Which of the causes come first in this draw: in turn by the seed, so that as many attempts as there
/// are causes bring every one of them, and another one if several draws have shown nothing.
pub(in crate::lesson) fn first_cause(seed: u64, draw: usize, causes: usize) -> usize {
    (seed.wrapping_add(draw as u64 / 6) % causes.max(1) as u64) as usize
}

/// Draws what the attempt of this seed plants. The part lies at `nudge` for the dry run; `next` is
/// where the next part would lie, drawn as `nudge` is, and `far` the same at the limits of the play.
/// `None` if the part has no place for it.
pub(in crate::lesson) fn draw(
    causes: &[FaultTemplate],
    (part, faces): (&Part, &Faces),
    [nudge, next, far]: [PoseFile; 3],
    (seed, draw): (u64, usize),
) -> Option<Drawn> {
    let mut dice = Noise::new(seed, 2, draw as u64);
    let count = count(seed);
    let first = first_cause(seed, draw, causes.len());
    let (same, dry, second) = (dice.uniform() < 0.5, dice.uniform() < 0.5, dice.uniform());
    let name = causes[first].name();
    let with: Vec<usize> =
        (0..causes.len()).filter(|i| may_come_together(name, causes[*i].name())).collect();
    let mut chosen = match count {
        0 => Vec::new(),
        _ => vec![first],
    };
    if count == 2 && !with.is_empty() {
        chosen.push(with[((second * with.len() as f64) as usize).min(with.len() - 1)]);
    }
    // What is wrong with the wire is seen on the end that the cutter takes off it. An arc burns it away,
    // and then only runs with the same part tell.
    let wire = chosen.iter().any(|i| ["wire-bent", "untrimmed-wire"].contains(&causes[*i].name()));
    let last_run = if chosen.is_empty() {
        LastRun { arc: true, next_part: Some(far) }
    } else {
        LastRun { arc: !wire && !dry, next_part: (!wire && !same).then_some(next) }
    };
    let put = last_run.next_part.unwrap_or(nudge);
    let mut fault = |n: usize| {
        let mut own = Noise::new(seed, 3 + n as u64, draw as u64);
        causes[n].draw(part, faces, &put, &mut own)
    };
    let faults: Option<Vec<Fault>> = chosen.iter().map(|n| fault(*n)).collect();
    let possible = (0..causes.len()).filter_map(&mut fault).collect();
    Some(Drawn { faults: faults?, possible, last_run })
}

/// Whether a set of faults could be planted in an attempt with this last run.
pub(super) fn may_be_planted(faults: &[Fault], last: &LastRun) -> bool {
    let wire = faults.iter().any(|f| f.kind().is_of_the_wire());
    if faults.is_empty() { last.arc } else { !wire || (!last.arc && last.next_part.is_none()) }
}

/// Differences of touches or welds that a person notices, mm.
const NOTICED_MM: f64 = 0.3;

/// Everything that the runs of a session read, and how each ended.
pub(super) fn readings(state: &State) -> Vec<Option<Sign>> {
    let outcomes = (1..=state.runs.len()).map(|run| state.outcome(run));
    state.readings().map(|by| state.sign(by)).chain(outcomes).collect()
}

/// Whether the runs of two sessions tell them apart: by what they read, or by a touch or weld that lies
/// elsewhere.
fn tells_apart(a: &Session, b: &Session) -> bool {
    let (a, b) = (a.state(), b.state());
    readings(a) != readings(b) || a.runs.iter().zip(&b.runs).any(|(a, b)| differ_noticeably(a, b))
}

fn differ_noticeably(a: &RunLog, b: &RunLog) -> bool {
    let touches = a.searches.iter().zip(&b.searches).any(|(a, b)| match (&a.outcome, &b.outcome) {
        (SearchOutcome::Touch { reading: a, .. }, SearchOutcome::Touch { reading: b, .. }) => {
            (a - b).norm() > NOTICED_MM
        }
        _ => true,
    });
    let miss = |run: &RunLog| run.worst_miss().unwrap_or_default();
    touches || (miss(a) - miss(b)).abs() > NOTICED_MM
}

/// Whether what is planted can be found in the runs of its start: it tells apart from a sound cell, and
/// each of two faults from the other alone. `play` gives the start with other faults. A sound cell must
/// end with a weld that landed.
pub(in crate::lesson) fn decides(
    start: &Session,
    faults: &[Fault],
    play: impl Fn(&[Fault]) -> Option<Session>,
) -> bool {
    match faults {
        [] => start.state().last_run().is_some_and(|run| run.landed()),
        [_] => play(&[]).is_some_and(|sound| tells_apart(start, &sound)),
        [a, b] => [a, b].into_iter().all(|alone| {
            play(std::slice::from_ref(alone)).is_some_and(|one| tells_apart(start, &one))
        }),
        _ => false,
    }
}
