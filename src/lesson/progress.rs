use super::file::Lesson;
use crate::session::Session;

/// How far a learner has come in a lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Stages done; the stage under way has this number, from 0.
    pub done: usize,
    /// Stages altogether.
    pub stages: usize,
}

impl Progress {
    /// Whether every stage is done.
    pub fn finished(&self) -> bool {
        self.done == self.stages
    }
}

impl Lesson {
    /// How far the session has come.
    ///
    /// A stage is done once its goal was met while it was the one under way, and stays done. So
    /// progress depends on what was done and in which order, and undo takes it back.
    pub fn progress(&self, session: &Session) -> Progress {
        let stages = self.stages.len();
        let mut done = 0;
        for n in 0..=session.actions().len() {
            let Some(state) = session.state_before(n) else { break };
            while done < stages && self.stages[done].goal.met(state) {
                done += 1;
            }
        }
        Progress { done, stages }
    }
}
