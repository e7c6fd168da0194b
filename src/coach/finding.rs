use crate::routine::StepId;
use serde::Serialize;

/// One thing the coach saw: which rule, where, what it costs, how to mend it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// The rule's stable name in kebab-case.
    pub rule: &'static str,
    /// How much the rule matters.
    pub weight: Severity,
    /// The step it is about.
    pub step: Option<StepId>,
    /// The taught point it is about.
    pub point: Option<String>,
    /// Number of the run in which it happened, from 1.
    pub run: Option<usize>,
    /// When in that run it happened, s: the moment to play again.
    pub time_s: Option<f64>,
    /// One sentence in the learner's own names: found against asked.
    pub message: String,
    /// What it costs.
    pub cost: Cost,
}

/// What a mistake costs, found by really running the session with it and with it mended.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Cost {
    /// How much further from the seam the weld lands because of it, mm: the size of the miss with
    /// the mistake, less the size of the miss without it. For a move that should not have been
    /// carried, how far it ends from its point. `None` where nothing can be compared.
    pub mm: Option<f64>,
    /// What happens because of it and does not when mended: "the wire runs into side plate".
    pub event: Option<String>,
}

/// How much a rule matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Works today.
    Sloppy,
    /// The weld misses or could.
    Misses,
    /// Points, part or torch are lost.
    Ruins,
}

/// What a learner practises.
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

    /// The words on screen.
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

    /// The name in files.
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
    /// A finding that says this and has no place yet. The catalogue fills in rule, weight and cost.
    pub(super) fn says(message: impl Into<String>) -> Self {
        Self {
            rule: "",
            weight: Severity::Sloppy,
            step: None,
            point: None,
            run: None,
            time_s: None,
            message: message.into(),
            cost: Cost::default(),
        }
    }

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
