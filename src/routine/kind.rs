use super::steps::{Instruction, Routine};
use serde::{Deserialize, Serialize};

/// What a step is for, read from its place in the routine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StepKind {
    /// A move home.
    Home,
    /// The move to the own point of the probe step that follows.
    Arrival,
    /// The last move before a weld start.
    Approach,
    /// The first move after a weld end.
    Retreat,
    /// Any other move.
    Via,
    /// Begins a block of probing.
    BeginProbing,
    /// A search.
    Probe,
    /// Finishes a block of probing.
    FinishProbing,
    /// From here on points move with the part.
    Follow,
    /// From here on points are where they were taught.
    StopFollowing,
    /// The weld begins.
    WeldStart,
    /// The weld ends.
    WeldEnd,
}

impl Routine {
    /// What the step at place `index` is for; `None` past the end.
    pub fn kind(&self, index: usize) -> Option<StepKind> {
        let act = &self.steps.get(index)?.instruction;
        let before = index.checked_sub(1).and_then(|i| self.motion_at_or_before(i));
        let after =
            self.steps[index + 1..].iter().map(|s| &s.instruction).find(|a| a.point().is_some());
        Some(match act {
            Instruction::Move { .. } if act.is_home() => StepKind::Home,
            Instruction::Move { to, .. } => match (before, after) {
                (_, Some(Instruction::Probe { from, .. })) if from == to => StepKind::Arrival,
                (_, Some(Instruction::WeldStart { .. })) => StepKind::Approach,
                (Some(Instruction::WeldEnd { .. }), _) => StepKind::Retreat,
                _ => StepKind::Via,
            },
            Instruction::BeginProbing { .. } => StepKind::BeginProbing,
            Instruction::Probe { .. } => StepKind::Probe,
            Instruction::FinishProbing => StepKind::FinishProbing,
            Instruction::Follow { .. } => StepKind::Follow,
            Instruction::StopFollowing => StepKind::StopFollowing,
            Instruction::WeldStart { .. } => StepKind::WeldStart,
            Instruction::WeldEnd { .. } => StepKind::WeldEnd,
        })
    }

    fn motion_at_or_before(&self, index: usize) -> Option<&Instruction> {
        self.steps[..=index].iter().rev().map(|s| &s.instruction).find(|a| a.point().is_some())
    }
}
