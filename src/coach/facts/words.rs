use super::Facts;
use crate::routine::{Act, StepId};

impl Facts<'_> {
    /// A step in the learner's own names: "step 7 (move to west-1)".
    pub(in crate::coach) fn name(&self, i: usize) -> String {
        let what = match &self.routine.steps[i].act {
            Act::Move { to, .. } => format!("move to {to}"),
            Act::BeginProbing { plan } => format!("begin probing with plan {plan}"),
            Act::Probe { from, .. } => format!("probe at {from}"),
            Act::FinishProbing => "finish probing".into(),
            Act::Follow { offset } => format!("follow {offset}"),
            Act::StopFollowing => "stop following".into(),
            Act::WeldStart { to } => format!("weld start at {to}"),
            Act::WeldEnd { to } => format!("weld end at {to}"),
        };
        format!("step {} ({what})", i + 1)
    }

    /// The same at the beginning of a sentence.
    pub(in crate::coach) fn cap(&self, i: usize) -> String {
        let name = self.name(i);
        format!("S{}", &name[1..])
    }

    /// The lasting number of the step at a place.
    pub(in crate::coach) fn id(&self, i: usize) -> StepId {
        self.routine.steps[i].id
    }

    /// Place of a step in the list.
    pub(in crate::coach) fn place(&self, id: Option<StepId>) -> Option<usize> {
        self.routine.index_of(id?)
    }
}
