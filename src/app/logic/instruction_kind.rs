use super::palette::{NEW_FREEDOMS, travel};
use nudgeproof::geometry::Vector3;
use nudgeproof::routine::{HOME, Instruction, PART_PLACE, PathKind, Routine};

/// What a step does, without its details: what a step can be changed into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum InstructionKind {
    Move,
    SensingOn,
    Feel,
    SensingOff,
    Find,
    Follow,
    StopFollowing,
    WeldStart,
    WeldThrough,
    WeldEnd,
    TrimWire,
}

impl InstructionKind {
    pub(crate) const ALL: [Self; 11] = [
        Self::Move,
        Self::SensingOn,
        Self::Feel,
        Self::SensingOff,
        Self::Find,
        Self::Follow,
        Self::WeldStart,
        Self::WeldThrough,
        Self::WeldEnd,
        Self::StopFollowing,
        Self::TrimWire,
    ];

    pub(crate) fn of(instruction: &Instruction) -> Self {
        match instruction {
            Instruction::Move { .. } => Self::Move,
            Instruction::SensingOn { .. } => Self::SensingOn,
            Instruction::Feel { .. } => Self::Feel,
            Instruction::SensingOff => Self::SensingOff,
            Instruction::Find { .. } => Self::Find,
            Instruction::Follow { .. } => Self::Follow,
            Instruction::StopFollowing => Self::StopFollowing,
            Instruction::WeldStart { .. } => Self::WeldStart,
            Instruction::WeldThrough { .. } => Self::WeldThrough,
            Instruction::WeldEnd { .. } => Self::WeldEnd,
            Instruction::TrimWire => Self::TrimWire,
        }
    }

    /// Its value in the list of choices.
    pub(crate) fn id(self) -> &'static str {
        match self {
            Self::Move => "move",
            Self::SensingOn => "sensing-on",
            Self::Feel => "feel",
            Self::SensingOff => "sensing-off",
            Self::Find => "find",
            Self::Follow => "follow",
            Self::StopFollowing => "stop-following",
            Self::WeldStart => "weld-start",
            Self::WeldThrough => "weld-through",
            Self::WeldEnd => "weld-end",
            Self::TrimWire => "trim",
        }
    }

    /// Changes a step into this kind. It keeps its point and its place; what it lacks comes from the
    /// routine.
    pub(crate) fn retype(self, instruction: &Instruction, routine: &Routine) -> Instruction {
        let point = instruction
            .point()
            .or_else(|| routine.points.first().map(|p| p.name.as_str()))
            .unwrap_or(HOME)
            .to_owned();
        let place = instruction
            .place()
            .or_else(|| routine.places().last().copied())
            .unwrap_or(PART_PLACE)
            .to_owned();
        match self {
            Self::Move => travel(&point, PathKind::Joint),
            Self::SensingOn => Instruction::sensing_on(),
            Self::Feel => Instruction::Feel {
                from: point,
                way: PathKind::Joint,
                direction: Vector3::x(),
                face: "west".into(),
            },
            Self::SensingOff => Instruction::SensingOff,
            Self::Find => Instruction::Find { place, may: NEW_FREEDOMS },
            Self::Follow => Instruction::Follow { place },
            Self::StopFollowing => Instruction::StopFollowing,
            Self::WeldStart => Instruction::WeldStart { to: point },
            Self::WeldThrough => Instruction::WeldThrough { to: point },
            Self::WeldEnd => Instruction::WeldEnd { to: point },
            Self::TrimWire => Instruction::TrimWire,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::routine::{Step, StepId};

    #[test]
    fn a_retyped_step_keeps_its_point_and_its_place() {
        let step = |id, instruction| Step { id: StepId(id), instruction };
        let weld = Instruction::WeldStart { to: "w".into() };
        let follow = Instruction::Follow { place: "left-end".into() };
        let steps = vec![step(1, weld.clone()), step(2, follow.clone())];
        let routine = Routine { steps, ..Routine::default() };
        for kind in InstructionKind::ALL {
            let from_weld = kind.retype(&weld, &routine);
            assert_eq!(InstructionKind::of(&from_weld), kind, "it is what was asked for");
            assert!(from_weld.point().is_none_or(|p| p == "w"), "{from_weld:?} lost its point");
            let place = kind.retype(&follow, &routine);
            assert!(place.place().is_none_or(|p| p == "left-end"), "{place:?} lost its place");
        }
    }
}
