use super::drill::Judged;
use crate::cell::edge_met;
use crate::coach::{self, RuleName};
use crate::geometry::{Point3, Pose, Vector3};
use crate::locate::Freedoms;
use crate::routine::{
    EventKind, Instruction, RunKind, RunLog, RunSpeed, StepKind, part_place, same_place,
};
use crate::session::{CellState, State};
use crate::shift::Shift;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// When a stage of a lesson is done. Depends on the session alone, never on which button was pressed.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Goal {
    /// The question of the stage has been answered.
    #[default]
    Answered,
    /// In a drill: the learner has named everything that is planted, and nothing else.
    CauseNamed,
    /// No fault is left in the cell, the wire is in order, and every reference was taken with the
    /// part as drawn.
    Mended,
    /// The newest run was made since the causes were named, on a moved part with the arc on, and its
    /// weld landed.
    Proved,
    /// In a shift: at least so many parts are done.
    PartsDone(usize),
    /// The routine has steps of these kinds in this order, others may stand between.
    InOrder(Vec<StepKind>),
    /// The routine feels for faces at least this often each, the most felt face first: `[2, 1]` is
    /// twice on one face and once on another.
    Feels(Vec<usize>),
    /// The routine feels, and each of its level searches meets this body of the part as drawn.
    FeelsBody(String),
    /// Some find of the routine has these values.
    Find {
        /// The place it finds.
        #[serde(default = "part_place")]
        place: String,
        /// What the part may have done; not checked if left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        may: Option<Freedoms>,
    },
    /// The reference flag is on, or off.
    ReferenceFlag(bool),
    /// The newest run did every step, with the steps and points that the routine has now, and has these
    /// properties; what is left out is not checked.
    Ran {
        /// What it was for.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        kind: Option<RunKind>,
        /// Its speed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        speed: Option<RunSpeed>,
        /// Whether the arc was on.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        arc: Option<bool>,
        /// Whether every weld landed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        landed: Option<bool>,
    },
    /// The newest run is over, has welded, and a weld missed. It need not have reached its last step.
    Missed,
    /// The newest run stored a reference over an earlier one.
    ReferenceOverwritten,
    /// The newest run ended before its last step.
    Stopped,
    /// The part does not lie where it is drawn.
    PartMoved,
    /// The part lies where it is drawn, and every body on it.
    PartInPlace,
    /// A body that moves by itself does not lie where it is drawn on the part.
    BodyMoved,
    /// The cell is ready: nobody is in it.
    CellReady,
    /// The wire is straight, clean and at its set stick-out.
    WireInOrder,
    /// The coach has no finding about the current routine.
    RoutineQuiet,
    /// The coach has no finding of this rule about the current routine.
    Without(RuleName),
    /// Every one of these.
    All(Vec<Goal>),
    /// At least one of these.
    Any(Vec<Goal>),
    /// Not this.
    Not(Box<Goal>),
}

impl Goal {
    /// Whether it is this goal, or one of those that it needs all of.
    pub fn asks_for(&self, goal: &Self) -> bool {
        match self {
            Self::All(goals) => goals.iter().any(|g| g.asks_for(goal)),
            own => own == goal,
        }
    }

    /// The kind of run that it needs, if it needs a certain one.
    pub fn kind_of_run(&self) -> Option<RunKind> {
        match self {
            Self::Ran { kind, .. } => *kind,
            Self::All(goals) => goals.iter().find_map(Self::kind_of_run),
            _ => None,
        }
    }

    /// Whether this state meets the goal; `planted` are the names of the faults planted in a drill,
    /// `shift` is that of a lesson about one.
    pub fn met(&self, state: &State, planted: &[&str], shift: Option<&Shift>) -> bool {
        match self {
            Self::Answered => true,
            Self::CauseNamed => {
                state.named.last().is_some_and(|d| Judged::of(d, planted).is_right())
            }
            Self::Mended => {
                let in_place = |p| same_place(p, Pose::identity());
                // A fault of the wire is gone once the wire is in order.
                state.faults.iter().all(|f| f.kind().is_of_the_wire())
                    && wire_in_order(state)
                    && state.memory.references.values().all(|r| in_place(r.part))
            }
            Self::Proved => {
                let named = state.named.last().map_or(usize::MAX, |d| d.runs);
                let lands = |run: &RunLog| run.kind == RunKind::Production && run.landed();
                state.runs.len() > named && state.last_run().is_some_and(|run| lands(run))
            }
            Self::PartsDone(parts) => shift.is_some_and(|shift| shift.done().len() >= *parts),
            Self::InOrder(kinds) => in_order(state, kinds),
            Self::Feels(wanted) => {
                let counts = feels_per_face(state);
                wanted.iter().enumerate().all(|(i, n)| counts.get(i).is_some_and(|c| c >= n))
            }
            Self::FeelsBody(body) => feels_body(state, body),
            Self::Find { place, may } => {
                let fits = |step: &Instruction| match step {
                    Instruction::Find { place: p, may: m } => {
                        p == place && may.is_none_or(|may| may == *m)
                    }
                    _ => false,
                };
                state.routine.steps.iter().any(|s| fits(&s.instruction))
            }
            Self::ReferenceFlag(on) => state.memory.reference_flag == *on,
            Self::Ran { kind, speed, arc, landed } => {
                let fits = |run: &RunLog| {
                    run.finished()
                        && kind.is_none_or(|k| run.kind == k)
                        && speed.is_none_or(|s| run.speed == s)
                        && arc.is_none_or(|a| run.arc == a)
                        && landed.is_none_or(|l| run.landed() == l)
                };
                state.last_run().is_some_and(|run| fits(run)) && unchanged(state)
            }
            Self::Missed => state.last_run().is_some_and(|run| {
                run.is_over() && !run.welds.is_empty() && run.welds.iter().any(|w| !w.landed)
            }),
            Self::ReferenceOverwritten => state.last_run().is_some_and(|run| {
                let over =
                    |e: &EventKind| matches!(e, EventKind::ReferenceStored { overwrote: true, .. });
                run.events.iter().any(|e| over(&e.what))
            }),
            Self::Stopped => state.last_run().is_some_and(|run| run.is_over() && !run.finished()),
            Self::PartMoved => !in_place(state),
            Self::PartInPlace => in_place(state) && !body_moved(state),
            Self::BodyMoved => body_moved(state),
            Self::CellReady => state.cell_state == CellState::Ready,
            Self::WireInOrder => wire_in_order(state),
            Self::RoutineQuiet => coach::check_routine(state).is_empty(),
            Self::Without(rule) => !coach::breaks(state, *rule),
            Self::All(goals) => goals.iter().all(|g| g.met(state, planted, shift)),
            Self::Any(goals) => goals.iter().any(|g| g.met(state, planted, shift)),
            Self::Not(goal) => !goal.met(state, planted, shift),
        }
    }
}

/// Stick-outs that differ by less count as equal, mm: a wire is not measured more finely than that
/// (common practice, no source).
const SAME_MM: f64 = 0.2;

/// Whether the wire is straight, clean and at its set stick-out.
pub(super) fn wire_in_order(state: &State) -> bool {
    let (wire, set) = (&state.wire, state.settings.stick_out_mm);
    wire.bend.norm() == 0.0 && !wire.ball && (wire.stick_out_mm - set).abs() < SAME_MM
}

/// Whether the routine has the same steps and points as when the newest run was made.
fn unchanged(state: &State) -> bool {
    state.run_contexts.last().is_some_and(|context| {
        let last = context.resumed.last().unwrap_or(&context.began);
        let (then, now) = (&last.routine, &state.routine);
        then.steps == now.steps && then.points == now.points
    })
}

fn in_place(state: &State) -> bool {
    same_place(state.work_from_part, Pose::identity())
}

fn body_moved(state: &State) -> bool {
    state.own_motions.values().any(|own| !same_place(*own, Pose::identity()))
}

fn in_order(state: &State, kinds: &[StepKind]) -> bool {
    let routine = &state.routine;
    let mut wanted = kinds.iter().peekable();
    for i in 0..routine.steps.len() {
        if wanted.peek().is_some_and(|k| routine.kind(i) == Some(**k)) {
            wanted.next();
        }
    }
    wanted.peek().is_none()
}

fn feels_body(state: &State, body: &str) -> bool {
    let routine = &state.routine;
    let mut searches = routine.steps.iter().filter_map(|step| match &step.instruction {
        Instruction::Feel { from, direction, .. } => Some((&routine.point(from)?.at, direction)),
        _ => None,
    });
    let meets = |(from, direction): (&Point3<f64>, &Vector3<f64>)| {
        edge_met(&state.part, from, direction).is_some_and(|met| met.body == body)
    };
    let first = searches.next().is_some_and(meets);
    first && searches.all(meets)
}

fn feels_per_face(state: &State) -> Vec<usize> {
    let mut counts = BTreeMap::<&str, usize>::new();
    for step in &state.routine.steps {
        if let Instruction::Feel { face, .. } = &step.instruction {
            *counts.entry(face).or_default() += 1;
        }
    }
    let mut counts: Vec<_> = counts.into_values().collect();
    counts.sort_unstable_by(|a, b| b.cmp(a));
    counts
}
