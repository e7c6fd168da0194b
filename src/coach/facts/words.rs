use super::Facts;
use crate::routine::{Instruction, StepId};

impl Facts<'_> {
    /// A step with the learner's own names: "step 7 (go to west-1)".
    pub(in crate::coach) fn name(&self, i: usize) -> String {
        let what = match &self.routine.steps[i].instruction {
            Instruction::Move { to, .. } => format!("go to {to}"),
            Instruction::SensingOn { .. } => "sensing on".into(),
            Instruction::Feel { from, .. } => format!("feel from {from}"),
            Instruction::SensingOff => "sensing off".into(),
            Instruction::Find { place, .. } => format!("find {place}"),
            Instruction::Follow { place } => format!("follow {place}"),
            Instruction::StopFollowing => "stop following".into(),
            Instruction::WeldStart { to } => format!("weld from {to}"),
            Instruction::WeldThrough { to } => format!("weld through {to}"),
            Instruction::WeldEnd { to } => format!("weld to {to}"),
            Instruction::TrimWire => "trim the wire".into(),
        };
        format!("step {} ({what})", i + 1)
    }

    /// The same at the beginning of a sentence.
    pub(in crate::coach) fn cap(&self, i: usize) -> String {
        let name = self.name(i);
        format!("S{}", &name[1..])
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
