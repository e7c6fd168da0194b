use crate::cell::Fault;
use crate::geometry::{Pose, Vector3};
use crate::routine::{EventKind, Routine, RunLog, SolutionOutcome};
use crate::session::{RunContext, State, still};
use std::sync::Arc;

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
    /// Whether the flag of a plan in use was off at some moment since the run before began.
    pub(in crate::coach) flag_was_off: bool,
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
pub(in crate::coach) fn runs(state: &State) -> Vec<RunFacts> {
    let all = state.run_contexts.iter().zip(&state.runs).enumerate();
    all.map(|(i, (context, log))| RunFacts {
        number: i + 1,
        action: context.action,
        log: log.clone(),
        routine: context.routine.clone(),
        flag: first_flag(&context.routine),
        part: true_part(context, log),
        taught: context.taught,
        bend: context.bend,
        stick_out_mm: context.stick_out_mm,
        strange: context
            .faults
            .iter()
            .any(|f| matches!(f, Fault::ClampMoved { .. } | Fault::WrongPart { .. })),
        foreign_speed: foreign_speed(&context.faults),
        flag_was_off: context.flag_was_off,
    })
    .collect()
}

fn first_flag(routine: &Routine) -> Option<bool> {
    let used = routine.plans_in_use().next();
    used.or(routine.plans.first()).map(|p| p.reference)
}

/// True pose of the part in the run: a fault may have moved it for the reference run only.
fn true_part(context: &RunContext, log: &RunLog) -> Pose {
    let moved = context.faults.iter().find_map(|f| match f {
        Fault::ReferenceOnMovedPart { part } => Some(Pose::from(*part)),
        _ => None,
    });
    match moved {
        Some(part) if context.routine.plans.iter().any(|p| p.reference) => part,
        _ => log.part,
    }
}

fn foreign_speed(faults: &[Fault]) -> Option<f64> {
    faults.iter().find_map(|f| match f {
        Fault::ProbingSpeedChanged { speed_mm_s } => Some(*speed_mm_s),
        _ => None,
    })
}
