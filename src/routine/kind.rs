use super::steps::{Instruction, Routine};
use serde::{Deserialize, Serialize};

/// What a step is for, read from its place in the routine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StepKind {
    /// A move home.
    Home,
    /// The last move before a weld start.
    Approach,
    /// The first move after a weld end.
    Retreat,
    /// Any other move.
    Via,
    /// The wire carries sensing voltage from here on.
    SensingOn,
    /// A way to a point and a search from it.
    Feel,
    /// The voltage is off.
    SensingOff,
    /// Works out where a place lies.
    Find,
    /// From here on points ride with a place.
    Follow,
    /// From here on points are where they were taught.
    StopFollowing,
    /// The weld begins.
    WeldStart,
    /// The weld goes on through a point.
    WeldThrough,
    /// The weld ends.
    WeldEnd,
    /// The wire is cut to the set stick-out.
    TrimWire,
}

impl Routine {
    /// What the step at place `index` is for; `None` past the end.
    pub fn kind(&self, index: usize) -> Option<StepKind> {
        let act = &self.steps.get(index)?.instruction;
        let before = index.checked_sub(1).and_then(|i| self.motion_at_or_before(i));
        let after = self.steps[index + 1..].iter().map(|s| &s.instruction).find(|a| a.moves());
        Some(match act {
            Instruction::Move { .. } if act.is_home() => StepKind::Home,
            Instruction::Move { .. } => match (before, after) {
                (_, Some(Instruction::WeldStart { .. })) => StepKind::Approach,
                (Some(Instruction::WeldEnd { .. }), _) => StepKind::Retreat,
                _ => StepKind::Via,
            },
            Instruction::SensingOn { .. } => StepKind::SensingOn,
            Instruction::Feel { .. } => StepKind::Feel,
            Instruction::SensingOff => StepKind::SensingOff,
            Instruction::Find { .. } => StepKind::Find,
            Instruction::Follow { .. } => StepKind::Follow,
            Instruction::StopFollowing => StepKind::StopFollowing,
            Instruction::WeldStart { .. } => StepKind::WeldStart,
            Instruction::WeldThrough { .. } => StepKind::WeldThrough,
            Instruction::WeldEnd { .. } => StepKind::WeldEnd,
            Instruction::TrimWire => StepKind::TrimWire,
        })
    }

    fn motion_at_or_before(&self, index: usize) -> Option<&Instruction> {
        self.steps[..=index].iter().rev().map(|s| &s.instruction).find(|a| a.moves())
    }
}
