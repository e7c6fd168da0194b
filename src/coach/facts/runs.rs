use crate::cell::{Fault, Wire};
use crate::geometry::Pose;
use crate::routine::{EventKind, Routine, RunKind, RunLog, SolutionOutcome};
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
    /// The reference flag; `None` in a run without feels.
    pub(in crate::coach) flag: Option<bool>,
    /// True pose of the part.
    pub(in crate::coach) part: Pose,
    /// Pose of the part when the weld points of this routine were taught.
    pub(in crate::coach) taught: Pose,
    /// The wire at the start.
    pub(in crate::coach) wire: Wire,
    /// Whether part or clamps were not as drawn: no routine can know.
    pub(in crate::coach) strange: bool,
    /// Search speed set by a planted fault, mm/s.
    pub(in crate::coach) foreign_speed: Option<f64>,
    /// Whether the reference flag was off at some moment since the run before began.
    pub(in crate::coach) flag_was_off: bool,
}

impl RunFacts {
    /// Whether this run stored a reference.
    pub(in crate::coach) fn stored(&self) -> bool {
        self.log.events.iter().any(|e| matches!(e.what, EventKind::ReferenceStored { .. }))
    }

    /// Whether a place was found.
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
        flag: flag(context, log),
        part: true_part(context, log),
        taught: context.taught,
        wire: context.wire,
        strange: context
            .faults
            .iter()
            .any(|f| matches!(f, Fault::ClampMoved { .. } | Fault::WrongPart { .. })),
        foreign_speed: context.faults.iter().find_map(Fault::sensing_speed),
        flag_was_off: context.flag_was_off,
    })
    .collect()
}

/// As it stood at the find, which may come after a pause in which it was turned.
fn flag(context: &RunContext, log: &RunLog) -> Option<bool> {
    match log.kind {
        RunKind::Reference => Some(true),
        RunKind::Proof | RunKind::Dry | RunKind::Production => Some(false),
        RunKind::Plain => context.routine.finds().then_some(context.reference_flag),
    }
}

/// True pose of the part in the run: a fault may have moved it for the reference run only.
fn true_part(context: &RunContext, log: &RunLog) -> Pose {
    let moved = context.faults.iter().find_map(Fault::reference_part);
    match moved {
        Some(part) if context.reference_flag => part,
        _ => log.part,
    }
}
