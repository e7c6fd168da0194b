use crate::routine::StepId;
use crate::text::{RuleName, Sentence};
use serde::Serialize;

/// One violation of a rule: where, and what it costs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// The rule.
    pub rule: RuleName,
    /// Severity of the rule.
    pub weight: Severity,
    /// The step it is about.
    pub step: Option<StepId>,
    /// The taught point it is about.
    pub point: Option<String>,
    /// Number of the run in which it happened, from 1.
    pub run: Option<usize>,
    /// Time in that run, s, for replaying the moment.
    pub time_s: Option<f64>,
    /// One sentence with the learner's own names: found against expected.
    pub message: Sentence,
    /// Its cost.
    pub cost: Cost,
    /// Whether actions can correct it afterwards; [`crate::coach::mend`] gives them.
    #[serde(skip)]
    pub can_mend: bool,
}

/// The cost of a mistake: difference between the session with it and without it, both run in the cell.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Cost {
    /// Increase of the seam miss, mm: size of the miss with the mistake minus size without it. For a
    /// move that should not ride with the part: distance of its end from its point. `None` if there is
    /// nothing to compare.
    pub mm: Option<f64>,
    /// An event that happens only with the mistake, as a clause: "the nozzle runs into the side plate".
    pub event: Option<Sentence>,
    /// How it is known.
    pub known: CostKnown,
}

/// How the cost of a mistake is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CostKnown {
    /// It came with a run that was made.
    #[default]
    Happened,
    /// From rehearsals: no run has come to it yet.
    Rehearsed,
    /// It is not: the runs stop for another reason, which is the event.
    NotYet,
}

/// Severity of a mistake.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Works, but not reliably.
    Sloppy,
    /// The weld misses, or could miss.
    Misses,
    /// Points, part or torch could be lost.
    Ruins,
}

/// A skill that lessons practise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Skill {
    /// Where to touch, in which directions, how far apart.
    PlanTouches,
    /// The order of the steps.
    WriteRoutine,
    /// Flag on, once, with the part in place; then off; then proof.
    RunReference,
    /// What follows the part and what must not.
    KeepFrame,
    /// Offset, residual, miss.
    ReadResult,
    /// From symptom to cause.
    FindFault,
}

impl Skill {
    /// All of them, in the order they are learned.
    pub const ALL: [Self; 6] = [
        Self::PlanTouches,
        Self::WriteRoutine,
        Self::RunReference,
        Self::KeepFrame,
        Self::ReadResult,
        Self::FindFault,
    ];

    /// Name on screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::PlanTouches => "plan the touches",
            Self::WriteRoutine => "write the routine",
            Self::RunReference => "run the reference",
            Self::KeepFrame => "keep the frame right",
            Self::ReadResult => "read the result",
            Self::FindFault => "find the fault",
        }
    }

    /// Name in files.
    pub const fn name(self) -> &'static str {
        match self {
            Self::PlanTouches => "plan_touches",
            Self::WriteRoutine => "write_routine",
            Self::RunReference => "run_reference",
            Self::KeepFrame => "keep_frame",
            Self::ReadResult => "read_result",
            Self::FindFault => "find_fault",
        }
    }
}

impl Finding {
    pub(super) fn step(mut self, id: StepId) -> Self {
        self.step = Some(id);
        self
    }

    pub(super) fn point(mut self, name: &str) -> Self {
        self.point = Some(name.into());
        self
    }

    pub(super) fn run(mut self, number: usize) -> Self {
        self.run = Some(number);
        self
    }

    pub(super) fn time(mut self, s: Option<f64>) -> Self {
        self.time_s = s;
        self
    }
}
