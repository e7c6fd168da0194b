use serde::{Deserialize, Serialize};

/// An entry of a solution, or of what is done before a lesson starts. Each stands for the actions that
/// it takes on this attempt's part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ScriptedAction {
    /// Edit the routine until it does the whole job.
    Build,
    /// Edit the routine until it holds the weld alone.
    BuildPlain,
    /// Give the right answer to the question of the current stage.
    Answer,
    /// Flag on, and run at reduced speed, arc off.
    ReferenceRun,
    /// Flag off, and run at reduced speed, arc off.
    ProofRun,
    /// Flag off, and run at full speed, arc on.
    ProductionRun,
    /// Run as the flag stands, at reduced speed, arc off.
    TrialRun,
    /// Turn the reference flag of every plan on.
    FlagOn,
    /// Turn the reference flag of every plan off.
    FlagOff,
    /// Move the part by this attempt's nudge.
    Nudge,
    /// Put the part back where it is drawn.
    PutBack,
    /// Cut the wire, if it is bent.
    Straighten,
    /// Plant the fault of the drill, if it must be there before the reference run.
    PlantEarly,
    /// Plant the fault of the drill, if it comes after the proof run.
    Plant,
    /// Name the planted cause.
    NameCause,
    /// Repair the planted fault; take a new reference if the reference was wrong.
    Repair,
}
