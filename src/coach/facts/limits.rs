//! What the torch runs into when the part lies at a limit of its play: the routine is run in the cell.

use crate::cell::{Cell, CellSettings, FixturePlay, OwnMotions, Part, Wire};
use crate::coach::pieces::pause;
use crate::coach::script::Place;
use crate::geometry::{Point3, Pose};
use crate::routine::{
    EventKind, Leg, LegKind, Memory, Routine, RunLog, RunOptions, Runner, SolutionOutcome,
};
use crate::session::State;
use crate::text::{Value, angle, mm, say};

/// Something that the torch runs into outside a search.
#[derive(Debug, Clone)]
pub(in crate::coach) struct Hit {
    /// Index of the step on whose way it happens.
    pub(in crate::coach) step: usize,
    pub(in crate::coach) body: String,
    /// The nozzle, which stops the run, or else the wire, which is bent.
    pub(in crate::coach) nozzle: bool,
    /// Where part and bodies lie; `None` where they were taught.
    pub(in crate::coach) limit: Option<Place>,
}

/// Noise of readings in runs of the coach, mm: negligible (the solver needs more than zero).
const QUIET_SIGMA_MM: f64 = 1e-6;

/// The same cell with negligible noise.
pub(in crate::coach) fn quiet(settings: &CellSettings) -> CellSettings {
    CellSettings { sigma_mm: QUIET_SIGMA_MM, scan_s: 0.0, ..*settings }
}

/// Steps of a run from one pause to the next: a few milliseconds, with a part of as many edges as it
/// may have.
const STEPS_A_PIECE: usize = 20;

/// By how much a point may be carried wrongly on the way to a weld, mm: more is a wrong place, and that is
/// the mistake.
const CARRIED_WELL_MM: f64 = 1.0;

/// The first thing that the torch runs into, outside a search, in a reference run and then in a run at
/// each extreme pose of the play; each step once.
///
/// Only a place that is found right carries points to where they belong: what comes of a wrong one does
/// not count.
pub(in crate::coach) async fn hits(state: &State, routine: &Routine, taught: Pose) -> Vec<Hit> {
    let Ok(cell) = Cell::new(&state.part, &quiet(&state.settings), &[]) else { return Vec::new() };
    let mut memory = Memory { reference_flag: true, ..Memory::default() };
    let mut hits = Vec::new();
    let reference = run(routine, &cell, &mut memory, &(taught, OwnMotions::new())).await;
    hits.extend(first_hit(state, routine, &reference, taught, None));
    // A routine that cannot be run, or that finds no place, has another mistake.
    if !reference.finished() || !routine.finds() {
        return hits;
    }
    memory.reference_flag = false;
    for place in state.part.extremes() {
        let log = run(routine, &cell, &mut memory.clone(), &place).await;
        let hit = first_hit(state, routine, &log, taught, Some(&place));
        hits.extend(hit.filter(|hit| hits.iter().all(|h: &Hit| h.step != hit.step)));
    }
    hits
}

/// One run with the part at this pose, a straight wire and no arc.
async fn run(routine: &Routine, cell: &Cell, memory: &mut Memory, place: &Place) -> RunLog {
    let mut cell = cell.clone();
    let (part, bodies) = place;
    cell.place_part(*part);
    cell.place_bodies(bodies);
    cell.wire = Wire::straight(cell.settings().stick_out_mm);
    let mut runner = Runner::new(RunOptions::new(1, 0), &cell, cell.part().rest);
    while runner.log().end.is_none() {
        runner.advance(routine, &mut cell, memory, Some(STEPS_A_PIECE));
        pause().await;
    }
    RunLog::clone(runner.log())
}

/// The first thing that wire or nozzle ran into in a run, if it was outside a search.
fn first_hit(
    state: &State,
    routine: &Routine,
    log: &RunLog,
    taught: Pose,
    limit: Option<&Place>,
) -> Option<Hit> {
    let (event, body, nozzle) = log.events.iter().find_map(|e| match &e.what {
        EventKind::WireBent { body, .. } => Some((e, body, false)),
        EventKind::Crash { body, .. } => Some((e, body, true)),
        _ => None,
    })?;
    let under_way =
        |l: &&Leg| l.step == event.step && l.time[0] <= event.time && event.time <= l.time[1];
    let leg = log.legs.iter().find(under_way)?;
    let step = routine.index_of(event.step)?;
    let found_right = || {
        let place = leg.follows.as_ref()?;
        let so_far = log.solutions.iter().filter(|s| s.time <= event.time && s.place == *place);
        let offset = so_far.rev().find_map(|s| match &s.outcome {
            SolutionOutcome::Found { offset, .. } => Some(*offset),
            _ => None,
        })?;
        let point = routine.point(routine.steps[step].instruction.point()?)?.at;
        let (part, bodies) = limit?;
        let carries = state.part.seams.iter().find_map(|seam| bodies.get(seam.body.as_ref()?));
        let on_part = carries.copied().unwrap_or_default().point(&taught.inverse().point(&point));
        let belongs = part.point(&on_part);
        Some((offset.point(&point) - belongs).norm() < CARRIED_WELL_MM)
    };
    let carried_wrong = leg.follows.is_some() && limit.is_some() && found_right() != Some(true);
    let counts = leg.kind != LegKind::Search && !carried_wrong;
    counts.then(|| Hit { step, body: body.clone(), nozzle, limit: limit.cloned() })
}

/// Where part and bodies lie at a limit of their play: "X +6.0 mm, Y −6.0 mm, turn +2.5°".
pub(in crate::coach) fn says_limit(part: &Part, (pose, bodies): &Place) -> Value {
    let own = part.bodies.iter().filter_map(|b| Some((&b.name, b.play?, bodies.get(&b.name)?)));
    let own = own.map(|(name, play, motion)| {
        say::body_lies(say::body(name), says_motion(&play, motion)).into()
    });
    say::apart(std::iter::once(says_motion(&part.play, pose)).chain(own))
}

fn says_motion(play: &FixturePlay, pose: &Pose) -> Value {
    let moved = pose.displacement(&Point3::from(play.about));
    let turned = pose.rotation_vector();
    let all = [
        (say::free_x(), mm(moved.x, 1)),
        (say::free_y(), mm(moved.y, 1)),
        (say::free_height(), mm(moved.z, 1)),
        (say::free_turn(), angle(turned.z, 1)),
        (say::free_tilt_x(), angle(turned.x, 1)),
        (say::free_tilt_y(), angle(turned.y, 1)),
    ];
    let some = all.into_iter().filter(|(_, by)| by.value.abs() >= 0.05);
    say::listed(some.map(|(what, by)| say::lies_by(what, by.signed())))
}
