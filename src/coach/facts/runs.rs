use super::structure::Structure;
use crate::cell::Fault;
use crate::geometry::{Pose, Vector3};
use crate::routine::{EventKind, Instruction, Routine, RunLog, SolutionOutcome};
use crate::session::{Action, Session, State};
use std::sync::Arc;

/// Displacements below this count as "not moved", mm: half the default repeatability of a touch.
const STILL_MM: f64 = 0.05;
/// Turns below this count as "not moved", radians: 0.01°, which is 0.05 mm at 300 mm.
const STILL_RAD: f64 = 1.7e-4;

/// Whether two poses of the part are equal within the repeatability of touches.
pub(in crate::coach) fn still(a: &Pose, b: &Pose) -> bool {
    let d = a.inverse() * *b;
    d.translation().norm() < STILL_MM && d.angle() < STILL_RAD
}

/// One run and the state when it started.
#[derive(Debug, Clone)]
pub(in crate::coach) struct RunFacts {
    /// Number in the session, from 1.
    pub(in crate::coach) number: usize,
    /// Index of its action in the session.
    pub(in crate::coach) action: usize,
    pub(in crate::coach) log: Arc<RunLog>,
    /// The routine of the run.
    pub(in crate::coach) routine: Arc<Routine>,
    /// The reference flag of the first plan it uses; `None` without probing.
    pub(in crate::coach) flag: Option<bool>,
    /// True pose of the part.
    pub(in crate::coach) part: Pose,
    /// Pose of the part when the weld points of this routine were taught.
    pub(in crate::coach) taught: Pose,
    /// Displacement of the wire tip at the start, mm.
    pub(in crate::coach) bend: Vector3<f64>,
    pub(in crate::coach) stick_out_mm: f64,
    /// Whether part or clamps were not as drawn: no routine can know.
    pub(in crate::coach) strange: bool,
    /// Probing speed set by a planted fault, mm/s.
    pub(in crate::coach) foreign_speed: Option<f64>,
}

impl RunFacts {
    /// Whether this run stored a reference.
    pub(in crate::coach) fn stored(&self) -> bool {
        self.log.events.iter().any(|e| matches!(e.what, EventKind::ReferenceStored { .. }))
    }

    /// Whether an offset was found.
    pub(in crate::coach) fn found(&self) -> bool {
        self.log.solutions.iter().any(|s| matches!(s.outcome, SolutionOutcome::Found { .. }))
    }

    /// Time of the first event that satisfies the test, s.
    pub(in crate::coach) fn when(&self, test: impl Fn(&EventKind) -> bool) -> Option<f64> {
        self.log.events.iter().find(|e| test(&e.what)).map(|e| e.time)
    }

    /// Whether the part was not at the pose for which the weld points were taught.
    pub(in crate::coach) fn moved(&self) -> bool {
        !still(&self.part, &self.taught)
    }

    /// Flag on, reference stored, the part where the points were taught.
    pub(in crate::coach) fn good_reference(&self) -> bool {
        self.reference() && self.stored() && !self.moved()
    }

    pub(in crate::coach) fn reference(&self) -> bool {
        self.flag == Some(true)
    }

    pub(in crate::coach) fn compares(&self) -> bool {
        self.flag == Some(false)
    }
}

/// All runs of a session.
pub(in crate::coach) fn runs(session: &Session) -> Vec<RunFacts> {
    let state = session.state();
    state
        .marks
        .iter()
        .zip(&state.runs)
        .enumerate()
        .filter_map(|(i, (mark, log))| {
            let before = session.state_before(mark.action)?;
            Some(RunFacts {
                number: i + 1,
                action: mark.action,
                log: log.clone(),
                routine: mark.routine.clone(),
                flag: first_flag(&mark.routine),
                part: true_part(before, log),
                taught: taught_place(session, mark.action, &mark.routine),
                bend: before.bend,
                stick_out_mm: before.stick_out_mm,
                strange: before
                    .faults
                    .iter()
                    .any(|f| matches!(f, Fault::ClampMoved { .. } | Fault::WrongPart { .. })),
                foreign_speed: foreign_speed(before),
            })
        })
        .collect()
}

fn first_flag(routine: &Routine) -> Option<bool> {
    let s = Structure::of(routine);
    let used = s.blocks.iter().find_map(|b| routine.plan(&b.plan));
    used.or(routine.plans.first()).map(|p| p.reference)
}

/// True pose of the part in the run: a fault may have moved it for the reference run only.
fn true_part(before: &State, log: &RunLog) -> Pose {
    let moved = before.faults.iter().find_map(|f| match f {
        Fault::ReferenceOnMovedPart { part } => Some(Pose::from(*part)),
        _ => None,
    });
    match moved {
        Some(part) if before.routine.plans.iter().any(|p| p.reference) => part,
        _ => log.part,
    }
}

fn foreign_speed(state: &State) -> Option<f64> {
    state.faults.iter().find_map(|f| match f {
        Fault::ProbingSpeedChanged { speed_mm_s } => Some(*speed_mm_s),
        _ => None,
    })
}

/// Where the part lay when the weld points of `routine` were taught, up to action `until`: as the
/// coach, who may look at the truth, knows it from the session's actions. The drawn place, where
/// nothing says otherwise; if the points disagree, the place of the one taught first.
pub(in crate::coach) fn taught_place(session: &Session, until: usize, routine: &Routine) -> Pose {
    // Name, where it was first taught, where it was taught last.
    let mut places: Vec<(String, Pose, Pose)> = Vec::new();
    let mut loaded = Pose::identity();
    for (i, action) in session.actions().iter().enumerate().take(until) {
        let Some(before) = session.state_before(i) else { break };
        match action {
            Action::LoadRoutine { routine } => {
                loaded = loaded_for(before, routine);
                places.clear();
            }
            // Taught in a paused run that follows, a point is stored for the reference part.
            Action::Teach { point, .. } if before.paused.is_none() => {
                let here = before.work_from_part;
                let first = if before.routine.point(point).is_some() { loaded } else { here };
                match places.iter_mut().find(|(name, ..)| name == point) {
                    Some(old) => old.2 = here,
                    None => places.push((point.clone(), first, here)),
                }
            }
            Action::RenamePoint { from, to } => {
                if let Some(old) = places.iter_mut().find(|(name, ..)| name == from) {
                    old.0.clone_from(to);
                }
            }
            _ => {}
        }
    }
    let place = |name: &str| {
        let known = places.iter().find(|(n, ..)| n == name);
        known.map_or((loaded, loaded), |(_, first, last)| (*first, *last))
    };
    let weld_points = routine.points.iter().filter(|p| is_weld_point(routine, &p.name));
    let all: Vec<(Pose, Pose)> = weld_points.map(|p| place(&p.name)).collect();
    match all.first() {
        Some((_, last)) if all.iter().all(|(_, l)| still(l, last)) => *last,
        Some((first, _)) => *first,
        None => loaded,
    }
}

/// Whether a weld starts or ends at this point.
pub(in crate::coach) fn is_weld_point(routine: &Routine, name: &str) -> bool {
    routine
        .steps
        .iter()
        .any(|s| matches!(&s.instruction, Instruction::WeldStart { to } | Instruction::WeldEnd { to } if to == name))
}

/// A routine that was loaded belongs to the place its weld points fit best: the drawn place, or
/// where the part lay just then.
fn loaded_for(before: &State, routine: &Routine) -> Pose {
    let drawn = Pose::identity();
    let here = before.work_from_part;
    let off = |pose: &Pose| -> f64 {
        let ends: Vec<_> =
            before.part.seams.iter().flat_map(|s| [s.from, s.to]).map(|p| pose.point(&p)).collect();
        routine
            .points
            .iter()
            .filter(|p| is_weld_point(routine, &p.name))
            .map(|p| ends.iter().map(|e| (e - p.at).norm()).fold(f64::INFINITY, f64::min))
            .filter(|d| d.is_finite())
            .sum()
    };
    if off(&here) < off(&drawn) { here } else { drawn }
}
