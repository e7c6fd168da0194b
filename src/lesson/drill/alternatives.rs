//! What else might be wrong: the same attempt with other faults planted, played by the same cell.

use super::draw::may_be_planted;
use super::pairs::may_come_together;
use crate::cell::Fault;
use crate::lesson::lesson::Lesson;
use crate::session::{Action, Session};

impl Lesson {
    /// The attempt as it would be with these faults planted, after the learner's `own` actions.
    pub(super) fn with_planted(&self, faults: &[Fault], own: &[Action]) -> Option<Session> {
        let mut other = self.start_with(faults)?;
        for action in own {
            // What cannot be done there, such as going on with a run that ended, changes nothing.
            let _ = other.act(action.clone());
        }
        Some(other)
    }

    /// Everything that may be wrong by the rules of this drill: nothing, one fault, or two that may come
    /// together.
    pub(super) fn may_be_wrong(&self) -> Vec<Vec<Fault>> {
        let Some(drawn) = &self.variant.planted else { return Vec::new() };
        let all = &drawn.possible;
        let ones = all.iter().map(|f| vec![f.clone()]);
        let twos = all.iter().enumerate().flat_map(|(i, a)| {
            let with = all[i + 1..].iter().filter(|b| may_come_together(a.name(), b.name()));
            with.map(|b| vec![a.clone(), b.clone()])
        });
        let sets = std::iter::once(Vec::new()).chain(ones).chain(twos);
        sets.filter(|set| may_be_planted(set, &drawn.last_run)).collect()
    }
}
