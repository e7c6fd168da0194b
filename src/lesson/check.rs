use super::file::Lesson;
use crate::coach;
use crate::session::ActionError;
use thiserror::Error;

/// Why a lesson that can be read cannot be learned from.
#[derive(Debug, Error)]
pub enum Unsound {
    /// Some stage is done before anything is.
    #[error("the lesson starts with {0} of its stages done already")]
    StartsDone(usize),
    /// The solution has an action that cannot be done.
    #[error("solution, action {number}: {why}")]
    SolutionStuck {
        /// Number of the action, from 1.
        number: usize,
        /// Why.
        why: ActionError,
    },
    /// The solution does not come to the end.
    #[error("the solution ends before stage {stage} ({title:?}) is done")]
    SolutionShort {
        /// Number of the stage, from 1.
        stage: usize,
        /// Its title.
        title: String,
    },
    /// The coach finds something in the solution.
    #[error("the coach finds {rule} in the solution: {message}")]
    SolutionFound {
        /// The rule.
        rule: String,
        /// What it says.
        message: String,
    },
    /// The solution does not get full marks.
    #[error("the solution scores {0} of 100")]
    SolutionScore(u8),
}

impl Lesson {
    /// Plays the solution and proves that the lesson can be learned from: nothing is done at the
    /// start, the solution does every stage, the coach has nothing to say about it, and it gets
    /// full marks.
    ///
    /// # Errors
    /// The first of these that does not hold.
    pub fn prove(&self) -> Result<(), Unsound> {
        let Ok(start) = self.start() else { return Ok(()) };
        let at_start = self.progress(&start).done;
        if at_start > 0 {
            return Err(Unsound::StartsDone(at_start));
        }
        let begun = start.actions().len();
        let actions = start.actions().iter().chain(&self.solution).cloned();
        let session = start.replayed(actions).map_err(|(n, why)| Unsound::SolutionStuck {
            number: (n + 1).saturating_sub(begun),
            why,
        })?;
        let progress = self.progress(&session);
        if !progress.finished() {
            let title = self.stages[progress.done].title.clone();
            return Err(Unsound::SolutionShort { stage: progress.done + 1, title });
        }
        let review = coach::review(&session);
        if let Some(f) = review.findings.first() {
            let (rule, message) = (f.rule.to_string(), f.message.clone());
            return Err(Unsound::SolutionFound { rule, message });
        }
        if review.score.total != 100 {
            return Err(Unsound::SolutionScore(review.score.total));
        }
        Ok(())
    }
}
