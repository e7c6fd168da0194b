//! How far a session has come in the shift of its lesson.

use super::ask::WhichRun;
use super::goal::Goal::PartsDone;
use super::lesson::Lesson;
use super::progress::GivenAnswer;
use crate::session::{Action, Decision, Session};
use crate::shift::{Shift, ShiftTally};

impl Lesson {
    /// The shift of the attempt as far as the session has come in it; `None` in a lesson that is not about
    /// a shift. What cannot be decided changes nothing.
    pub fn shift(&self, session: &Session) -> Option<Shift> {
        let mut shift = self.shift_at_start()?.clone();
        for decision in self.decisions(session) {
            let _ = shift.decide(decision);
        }
        Some(shift)
    }

    /// The same at its first part.
    pub fn shift_at_start(&self) -> Option<&Shift> {
        self.shift.as_ref().map(|task| &*task.start)
    }

    /// What the learner has decided.
    pub fn decisions(&self, session: &Session) -> Vec<Decision> {
        let own = session.actions().iter().skip(self.start_actions_in(session));
        let decided = own.filter_map(|action| match action {
            Action::Decide { what } => Some(*what),
            _ => None,
        });
        decided.collect()
    }

    /// Whether the shift waits for the answer to a question: a prediction is made before the next part, a
    /// reading once the parts that it is about are done. `done` stages are done.
    pub fn waits_for_answer(&self, done: usize, answers: &[GivenAnswer], shift: &Shift) -> bool {
        let Some(stage) = self.stages.get(done) else { return false };
        let PartsDone(parts) = stage.goal else { return self.question_of(done, answers).is_some() };
        let read = stage.ask.as_ref().is_some_and(|ask| ask.run == WhichRun::Last)
            && answers.iter().all(|a| a.stage != done);
        self.question_of(done, answers).is_some() || (read && shift.done().len() >= parts)
    }

    /// What the best decisions make of the attempt's shift, by one who sees each weld.
    pub fn best_of_shift(&self) -> Option<ShiftTally> {
        self.shift.as_ref().map(|task| task.best)
    }
}
