use super::Facts;
use crate::routine::{Instruction, StepId};
use crate::text::{Sentence, say};

impl Facts<'_> {
    /// A step with the learner's own names: "step 7 (go to “west-1”)".
    pub(in crate::coach) fn step(&self, i: usize) -> Sentence {
        let what = match &self.routine.steps[i].instruction {
            Instruction::Move { to, .. } => say::go_to(to),
            Instruction::SensingOn { .. } => say::sensing_on(),
            Instruction::Feel { from, .. } => say::feel_from(from),
            Instruction::SensingOff => say::sensing_off(),
            Instruction::Find { place, .. } => say::find(place),
            Instruction::Follow { place } => say::follow(place),
            Instruction::StopFollowing => say::stop_following(),
            Instruction::WeldStart { to } => say::weld_from(to),
            Instruction::WeldThrough { to } => say::weld_through(to),
            Instruction::WeldEnd { to } => say::weld_to(to),
            Instruction::TrimWire => say::trim_the_wire(),
        };
        say::step(i + 1, what)
    }

    /// Id of step `i`.
    pub(in crate::coach) fn id(&self, i: usize) -> StepId {
        self.routine.steps[i].id
    }

    /// Index of the step with this id.
    pub(in crate::coach) fn place(&self, id: Option<StepId>) -> Option<usize> {
        self.routine.index_of(id?)
    }
}
