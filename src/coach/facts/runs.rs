use crate::cell::{Fault, Wire};
use crate::geometry::Pose;
use crate::routine::{EventKind, Routine, RunKind, RunLog, SolutionOutcome, StepId};
use crate::session::{RunContext, State, Stretch, still};
use std::sync::Arc;

/// One run and how things stood in it.
#[derive(Debug, Clone)]
pub(in crate::coach) struct RunFacts {
    /// Number in the session, from 1.
    pub(in crate::coach) number: usize,
    /// Index of its action in the session.
    pub(in crate::coach) action: usize,
    pub(in crate::coach) log: Arc<RunLog>,
    /// The routine of the run, as it was at its end.
    pub(in crate::coach) routine: Arc<Routine>,
    /// How things stood when it began and each time it went on.
    pub(in crate::coach) stretches: Vec<Stretch>,
    /// The reference flag; `None` in a run without feels.
    pub(in crate::coach) flag: Option<bool>,
    /// True pose of the part when it was first felt.
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
    /// Whether it is a part of a study, to be watched.
    pub(in crate::coach) of_study: bool,
    /// Number of the last run before it that stored a reference.
    pub(super) reference_before: Option<usize>,
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

    /// The routine as it was when this step was done; if it was not done, as it was at the end.
    pub(in crate::coach) fn routine_for(&self, step: StepId) -> &Arc<Routine> {
        let done = self.log.legs.iter().rfind(|l| l.step == step).map(|l| l.time[0]);
        let event = || self.log.events.iter().rfind(|e| e.step == step).map(|e| e.time);
        let stretch = done.or_else(event).and_then(|time| stretch_at(&self.stretches, time));
        stretch.map_or(&self.routine, |s| &s.routine)
    }
}

/// How things stood at this time of a run, s.
fn stretch_at(stretches: &[Stretch], time: f64) -> Option<&Stretch> {
    stretches.iter().rfind(|s| s.time <= time)
}

/// All runs of a session.
pub(in crate::coach) fn runs(state: &State) -> Vec<RunFacts> {
    let all = state.run_contexts.iter().zip(&state.runs).enumerate();
    let mut reference = None;
    all.map(|(i, (context, log))| {
        let run = RunFacts { reference_before: reference, ..run(i + 1, context, log) };
        if run.stored() {
            reference = Some(run.number);
        }
        run
    })
    .collect()
}

fn run(number: usize, context: &RunContext, log: &Arc<RunLog>) -> RunFacts {
    let began = &context.began;
    let stretches: Vec<Stretch> = std::iter::once(began).chain(&context.resumed).cloned().collect();
    let last = context.resumed.last().unwrap_or(began);
    let felt = log.searches.first().and_then(|s| {
        let leg = log.legs.iter().find(|l| l.step == s.step)?;
        stretch_at(&stretches, leg.time[0])
    });
    RunFacts {
        number,
        action: began.action,
        log: log.clone(),
        routine: last.routine.clone(),
        flag: flag(last, log),
        part: felt.unwrap_or(began).part,
        taught: last.taught.of_welds(&last.routine),
        wire: began.wire,
        strange: began
            .faults
            .iter()
            .any(|f| matches!(f, Fault::ClampMoved { .. } | Fault::WrongPart { .. })),
        foreign_speed: began.faults.iter().find_map(Fault::sensing_speed),
        flag_was_off: context.flag_was_off,
        of_study: context.of_study,
        reference_before: None,
        stretches,
    }
}

/// As it stood at the find, which may come after a pause in which it was turned.
fn flag(last: &Stretch, log: &RunLog) -> Option<bool> {
    match log.kind {
        RunKind::Reference => Some(true),
        RunKind::Proof | RunKind::Dry | RunKind::Production => Some(false),
        RunKind::Plain => last.routine.finds().then_some(last.reference_flag),
    }
}
