use serde::{Deserialize, Serialize};

/// One thing that is done in a solution, or that has been done before a lesson starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ScriptedAction {
    /// Make the routine the one that does the whole job: teach, add, change, move, delete.
    Build,
    /// Make the routine the weld alone.
    BuildPlain,
    /// Answer the question of the stage under way, rightly.
    Answer,
    /// Flag on, and run at reduced speed, arc off.
    ReferenceRun,
    /// Flag off, and run at reduced speed, arc off.
    ProofRun,
    /// Flag off, and run at full speed, arc on.
    ProductionRun,
    /// Run as the flag stands, at reduced speed, arc off.
    TrialRun,
    /// The reference flag of every plan.
    FlagOn,
    /// The reference flag of every plan.
    FlagOff,
    /// Put the part where this attempt's nudge takes it.
    Nudge,
    /// Put the part back as drawn.
    PutBack,
    /// Cut the wire, if it is bent.
    Straighten,
    /// Plant the fault of the drill, if it is one that must be there before the reference run.
    PlantEarly,
    /// Plant the fault of the drill, if it comes after the proof run.
    Plant,
    /// Name the cause that was planted.
    NameCause,
    /// Mend it, and take a new reference where that is what was wrong.
    Repair,
}
