use super::palette::{DEFAULT_OFFSET, DEFAULT_PLAN, travel};
use nudgeproof::geometry::Vector3;
use nudgeproof::routine::{HOME, Instruction, PathKind, Routine};

/// What a step does, without its details: what a step can be changed into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum InstructionKind {
    Move,
    Probe,
    BeginProbing,
    FinishProbing,
    Follow,
    StopFollowing,
    WeldStart,
    WeldEnd,
}

impl InstructionKind {
    pub(crate) const ALL: [Self; 8] = [
        Self::Move,
        Self::Probe,
        Self::BeginProbing,
        Self::FinishProbing,
        Self::Follow,
        Self::StopFollowing,
        Self::WeldStart,
        Self::WeldEnd,
    ];

    pub(crate) fn of(instruction: &Instruction) -> Self {
        match instruction {
            Instruction::Move { .. } => Self::Move,
            Instruction::Probe { .. } => Self::Probe,
            Instruction::BeginProbing { .. } => Self::BeginProbing,
            Instruction::FinishProbing => Self::FinishProbing,
            Instruction::Follow { .. } => Self::Follow,
            Instruction::StopFollowing => Self::StopFollowing,
            Instruction::WeldStart { .. } => Self::WeldStart,
            Instruction::WeldEnd { .. } => Self::WeldEnd,
        }
    }

    /// Its value in the list of choices.
    pub(crate) fn id(self) -> &'static str {
        match self {
            Self::Move => "move",
            Self::Probe => "probe",
            Self::BeginProbing => "begin-probing",
            Self::FinishProbing => "finish-probing",
            Self::Follow => "follow",
            Self::StopFollowing => "stop-following",
            Self::WeldStart => "weld-start",
            Self::WeldEnd => "weld-end",
        }
    }

    /// Changes a step into this kind. It keeps its point; what it lacks comes from the routine.
    pub(crate) fn retype(self, instruction: &Instruction, routine: &Routine) -> Instruction {
        let point = instruction
            .point()
            .or_else(|| routine.points.first().map(|p| p.name.as_str()))
            .unwrap_or(HOME)
            .to_owned();
        match self {
            Self::Move => travel(&point, PathKind::Joint),
            Self::Probe => {
                Instruction::Probe { from: point, direction: Vector3::x(), face: "west".into() }
            }
            Self::BeginProbing => Instruction::BeginProbing {
                plan: routine.plans.first().map_or(DEFAULT_PLAN, |p| p.name.as_str()).into(),
            },
            Self::FinishProbing => Instruction::FinishProbing,
            Self::Follow => Instruction::Follow {
                offset: routine.plans.first().map_or(DEFAULT_OFFSET, |p| p.fills.as_str()).into(),
            },
            Self::StopFollowing => Instruction::StopFollowing,
            Self::WeldStart => Instruction::WeldStart { to: point },
            Self::WeldEnd => Instruction::WeldEnd { to: point },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::routine::{Step, StepId};

    #[test]
    fn a_retyped_step_keeps_its_point() {
        let routine = Routine {
            steps: vec![Step {
                id: StepId(1),
                instruction: Instruction::WeldStart { to: "w".into() },
            }],
            ..Routine::default()
        };
        for kind in InstructionKind::ALL {
            let instruction = kind.retype(&routine.steps[0].instruction, &routine);
            assert_eq!(InstructionKind::of(&instruction), kind, "it is what was asked for");
            assert!(instruction.point().is_none_or(|p| p == "w"), "{instruction:?} lost its point");
        }
    }
}
