use crate::routine::StepId;
use serde::Serialize;

/// One thing the coach saw: which rule, where, what it costs, how to mend it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// The rule's stable name in kebab-case.
    pub rule: &'static str,
    /// The step it is about.
    pub step: Option<StepId>,
    /// The taught point it is about.
    pub point: Option<String>,
    /// Number of the run in which it happened, from 1.
    pub run: Option<usize>,
    /// One sentence in the learner's own names: found against asked.
    pub message: String,
    /// What it costs.
    pub cost: Cost,
}

/// What a mistake costs, found by really running the session with it and with it mended.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Cost {
    /// How much further from the seam the weld lands because of it, mm; for a move that should
    /// not have been carried, how far it ends from its point. `None` where nothing can be compared.
    pub mm: Option<f64>,
    /// What happens because of it and does not when mended: "the wire crashes into the side plate".
    pub event: Option<String>,
}

/// How much a rule matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Weight {
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
