use serde::{Deserialize, Serialize};

/// An entry of a solution, or of what is done before a lesson starts. Each stands for the actions that
/// it takes on this attempt's part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ScriptedAction {
    /// Edit the routine until it does the whole job.
    Build,
    /// Edit the routine until it breaks none of the rules it breaks at the start; what is left out of it
    /// stays out.
    Mend,
    /// Edit the routine until it holds the weld alone.
    BuildPlain,
    /// Give the right answer to the question of the current stage.
    Answer,
    /// Flag on, and run at reduced speed, arc off.
    ReferenceRun,
    /// Flag off, and run at reduced speed, arc off.
    ProofRun,
    /// The same on a moved part: flag off, and run at reduced speed, arc off.
    DryRun,
    /// Flag off, and run at full speed, arc on.
    ProductionRun,
    /// Run as the flag stands, at reduced speed, arc off.
    TrialRun,
    /// If the newest run stopped on the way: cut the wire, take the reference anew, and prove it.
    ProveAgain,
    /// Turn the reference flag on.
    FlagOn,
    /// Move the part, and the bodies that move by themselves, by this attempt's nudge. Hands go into the cell while it is locked out.
    Nudge,
    /// Move it on to where this attempt's second nudge has it.
    NudgeAgain,
    /// Put the part back where it is drawn, and every body of it.
    PutBack,
    /// Cut the wire by hand, if it is not straight, clean and at its set stick-out.
    CutWire,
    /// Plant the faults of the drill that must be there before the reference run.
    PlantEarly,
    /// Plant the faults of the drill that come after the dry run.
    Plant,
    /// The last run before the learner of a drill begins: a dry run or a production run, on the same part
    /// as before or on the next one.
    LastRun,
    /// In a shift: decide rightly about the parts that set the limits, and about the one that is felt then.
    FirstParts,
    /// In a shift: decide rightly about the part that waits.
    NextPart,
    /// In a shift: decide rightly to its end.
    RestOfShift,
    /// Look where it tells what is planted from everything else that may be wrong, in the fewest minutes.
    Look,
    /// Name what is planted.
    NameCause,
    /// Mend what is wrong in the fewest minutes; take a new reference if the reference was wrong.
    Repair,
}
