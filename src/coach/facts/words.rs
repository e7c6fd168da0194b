use super::Facts;
use crate::routine::{Instruction, StepId};

impl Facts<'_> {
    /// A step with the learner's own names: "step 7 (move to west-1)".
    pub(in crate::coach) fn name(&self, i: usize) -> String {
        let what = match &self.routine.steps[i].instruction {
            Instruction::Move { to, .. } => format!("move to {to}"),
            Instruction::BeginProbing { plan } => format!("begin probing with plan {plan}"),
            Instruction::Probe { from, .. } => format!("probe at {from}"),
            Instruction::FinishProbing => "finish probing".into(),
            Instruction::Follow { offset } => format!("follow {offset}"),
            Instruction::StopFollowing => "stop following".into(),
            Instruction::WeldStart { to } => format!("weld start at {to}"),
            Instruction::WeldEnd { to } => format!("weld end at {to}"),
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
