use super::decision::Decision;
use super::evidence::NamedCause;
use crate::cell::{Fault, Look, Mend};
use crate::geometry::{Point3, PoseFile};
use crate::io::{by_name, internally_tagged, xyz};
use crate::routine::{Instruction, Routine, RunSpeed, StepId};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use strum::IntoStaticStr;

/// One thing the learner (or a lesson, or an instructor) did. A session is the list of them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, IntoStaticStr)]
#[serde(remote = "Self", rename_all = "snake_case", deny_unknown_fields)]
#[strum(serialize_all = "snake_case")]
pub enum Action {
    /// Put a new step into the routine; it gets the next free id.
    AddStep {
        /// Its place in the list, from 0; the end if left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at: Option<usize>,
        /// What it does.
        step: Instruction,
    },
    /// Change what a step does.
    ChangeStep {
        /// The step's id.
        id: StepId,
        /// What it does from now on.
        step: Instruction,
    },
    /// Take a step out.
    DeleteStep {
        /// The step's id.
        id: StepId,
    },
    /// Move a step to another place in the list.
    MoveStep {
        /// The step's id.
        id: StepId,
        /// Its new place, counted after it has been taken out, from 0.
        to: usize,
    },
    /// Store the torch position under a name, new or old. Stored in the frame that is active at
    /// that moment: while a paused run follows a place, its offset is taken out first.
    Teach {
        /// Name of the point.
        point: String,
        /// Where the wire tip is, work frame, mm.
        #[serde(deserialize_with = "xyz")]
        at: Point3<f64>,
    },
    /// Give a point another name; steps that use it follow.
    RenamePoint {
        /// Old name.
        from: String,
        /// New name.
        to: String,
    },
    /// Forget a taught point.
    DeletePoint {
        /// Its name.
        point: String,
    },
    /// Turn the reference flag on or off.
    SetReference {
        /// On: this run learns. Off: this run compares.
        on: bool,
    },
    /// Lock the cell out, or make it ready.
    SetCell {
        /// Its state from now on.
        state: CellState,
    },
    /// Replace the whole routine (a lesson's start, an import).
    LoadRoutine {
        /// The routine.
        routine: Routine,
    },
    /// Move the torch by hand.
    MoveTorch {
        /// Where the wire tip then is, work frame, mm.
        #[serde(deserialize_with = "xyz")]
        to: Point3<f64>,
    },
    /// Put the part somewhere.
    PlacePart {
        /// Where it then lies: the motion from its drawn place, as files say it, so that a
        /// replay starts from the very same numbers.
        part: PoseFile,
        /// Where bodies with a play of their own then lie on it: the motion from the drawn place, by
        /// name. A body that is left out stays where it was on the part.
        #[serde(default, deserialize_with = "by_name", skip_serializing_if = "BTreeMap::is_empty")]
        bodies: BTreeMap<String, PoseFile>,
    },
    /// Start the routine from its first step.
    Run {
        /// How fast.
        speed: RunSpeed,
        /// Whether the arc is on.
        #[serde(default)]
        arc: bool,
        /// Pause after this many steps; to the end if left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        steps: Option<usize>,
    },
    /// Go on with a paused run.
    Resume {
        /// Pause again after this many steps; to the end if left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        steps: Option<usize>,
    },
    /// Give up a paused run.
    Abort,
    /// Cut the wire back: straight again, at the stick-out given.
    CutWire {
        /// Stick-out after the cut, mm.
        stick_out_mm: f64,
    },
    /// Plant a fault.
    Plant {
        /// The fault.
        fault: Fault,
    },
    /// Take all planted faults away.
    ClearFaults,
    /// Mend one kind of fault: clean the edge, put the clamp back, load the right part. Where there
    /// is no such fault nothing changes.
    ClearFault {
        /// Its name, one of [`crate::cell::FAULT_NAMES`].
        fault: String,
    },
    /// The learner answered the question of a stage of a lesson (changes nothing in the cell).
    Predict {
        /// Number of the stage, from 1.
        stage: usize,
        /// Number of the choice, from 1.
        answer: usize,
        /// How sure they are of a prediction; a reading needs none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        certainty: Option<Certainty>,
    },
    /// The learner decided about the part that waits in a shift (changes nothing in the cell).
    Decide {
        /// What.
        what: Decision,
    },
    /// The learner said what is wrong with the cell: all of it (changes nothing in it).
    Name {
        /// The causes, each with what speaks for it; [`super::NOTHING_WRONG`] alone, where nothing is.
        causes: Vec<NamedCause>,
    },
    /// The learner looked at something in the cell, which takes minutes.
    Look {
        /// At what.
        at: Look,
    },
    /// Hands put something right, which takes minutes. Where nothing of the kind was wrong, nothing
    /// changes.
    Mend {
        /// How.
        by: Mend,
    },
    /// From now on show the part where it is believed to lie, and tell nothing of planted faults
    /// or of where it truly lies: an instructor moved something in secret.
    Conceal {
        /// Where the part is believed to lie.
        part: PoseFile,
    },
    /// From now on all noise comes from this seed: how a part of a study is played as an ordinary run.
    NoiseFrom {
        /// The seed.
        seed: u64,
    },
    /// Show everything again as it truly is.
    Reveal,
    /// Plant a fault in secret. Nothing of it is told until `reveal`: see [`crate::session::Told`].
    PlantInSecret {
        /// The fault.
        fault: Fault,
    },
    /// Put the part somewhere in secret.
    MoveInSecret {
        /// Where it then lies: the motion from its drawn place.
        part: PoseFile,
        /// Where bodies with a play of their own then lie on it, by name.
        #[serde(default, deserialize_with = "by_name", skip_serializing_if = "BTreeMap::is_empty")]
        bodies: BTreeMap<String, PoseFile>,
    },
    /// Mend one kind of fault in secret.
    ClearInSecret {
        /// Its name, one of [`crate::cell::FAULT_NAMES`].
        fault: String,
    },
    /// The learner asked for a hint (kept for the score).
    Hint {
        /// The rule the hint is about.
        rule: String,
        /// 1 ask, 2 point, 3 show.
        hint_level: u8,
    },
    /// The learner let the coach mend something (kept for the score; the edits stand beside it).
    Mended {
        /// The rule that was mended.
        rule: String,
    },
}

internally_tagged!(Action, "action");

/// How sure a learner is of a prediction.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, IntoStaticStr,
)]
#[serde(rename_all = "snake_case")]
#[strum(serialize_all = "snake_case")]
pub enum Certainty {
    /// It could as well go another way.
    Guessing,
    /// Most likely.
    FairlySure,
    /// It cannot go another way.
    Certain,
}

impl Certainty {
    /// From the least to the most.
    pub const ALL: [Self; 3] = [Self::Guessing, Self::FairlySure, Self::Certain];

    /// Its name in files.
    pub fn name(self) -> &'static str {
        self.into()
    }
}

/// Whether a person may be in the cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CellState {
    /// It may run; nobody may be in it.
    #[default]
    Ready,
    /// It cannot run, and the wire carries no voltage: hands may go in.
    LockedOut,
}

impl Action {
    /// The part put somewhere as a whole: the motion from its drawn place.
    pub fn place_part(part: impl Into<PoseFile>) -> Self {
        Self::PlacePart { part: part.into(), bodies: BTreeMap::new() }
    }

    /// Its name in files.
    pub fn name(&self) -> &'static str {
        self.into()
    }

    /// Whether an instructor does it in secret.
    pub fn in_secret(&self) -> bool {
        self.in_the_open().is_some()
    }

    /// What an action in secret does to the cell, as the action that does it in the open; `None` if it
    /// is none in secret.
    pub fn in_the_open(&self) -> Option<Self> {
        match self.clone() {
            Self::PlantInSecret { fault } => Some(Self::Plant { fault }),
            Self::MoveInSecret { part, bodies } => Some(Self::PlacePart { part, bodies }),
            Self::ClearInSecret { fault } => Some(Self::ClearFault { fault }),
            _ => None,
        }
    }
}
