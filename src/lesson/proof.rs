use super::lesson::Lesson;
use super::mistakes;
use crate::coach::{self, RuleName};
use crate::session::{Action, ActionError, Session};
use thiserror::Error;

/// Why a lesson that can be read cannot be learned from.
#[derive(Debug, Error)]
pub enum LessonProblem {
    /// The attempt cannot be set up with this seed.
    #[error("seed {seed}: {why}")]
    Variant {
        /// The seed.
        seed: u64,
        /// Why.
        why: super::LessonError,
    },
    /// Some stage is done before the learner has done anything.
    #[error("seed {seed}: the lesson starts with {done} of its stages done already")]
    StartsDone {
        /// The seed.
        seed: u64,
        /// How many.
        done: usize,
    },
    /// The solution has an action that cannot be done.
    #[error("seed {seed}: solution, action {number}: {why}")]
    SolutionStuck {
        /// The seed.
        seed: u64,
        /// Number of the scripted action or action, from 1.
        number: usize,
        /// Why.
        why: ActionError,
    },
    /// The solution does not do every stage.
    #[error("seed {seed}: the solution ends before stage {stage} ({title:?}) is done{because}")]
    SolutionShort {
        /// The seed.
        seed: u64,
        /// Number of the stage, from 1.
        stage: usize,
        /// Its title.
        title: String,
        /// How the last run stopped, if it did; for the message.
        because: String,
    },
    /// A stage is done by the action that does the stage before it.
    #[error("seed {seed}: stage {stage} ({title:?}) is done as soon as it begins")]
    StageForNothing {
        /// The seed.
        seed: u64,
        /// Number of the stage, from 1.
        stage: usize,
        /// Its title.
        title: String,
    },
    /// The coach finds something in the solution.
    #[error("seed {seed}: the coach finds {rule} in the solution: {message}")]
    SolutionFound {
        /// The seed.
        seed: u64,
        /// The rule.
        rule: RuleName,
        /// What it says.
        message: String,
    },
    /// The solution does not get full marks.
    #[error("seed {seed}: the solution scores {score} of 100: {reasons}")]
    SolutionScore {
        /// The seed.
        seed: u64,
        /// The score.
        score: u8,
        /// Why.
        reasons: String,
    },
    /// A mistake the lesson is about cannot be made.
    #[error("seed {seed}: the mistake {rule} cannot be made with this part")]
    NoSuchMistake {
        /// The seed.
        seed: u64,
        /// The rule.
        rule: RuleName,
    },
    /// The coach does not find a mistake the lesson is about.
    #[error("seed {seed}: the mistake {rule} is made, and the coach does not see it")]
    NotCaught {
        /// The seed.
        seed: u64,
        /// The rule.
        rule: RuleName,
    },
    /// The solution never gives the question of a stage a right answer.
    #[error("seed {seed}: the question of stage {stage} has no right answer")]
    NoAnswer {
        /// The seed.
        seed: u64,
        /// Number of the stage, from 1.
        stage: usize,
    },
    /// The solution runs while the run button waits for the answer to a prediction.
    #[error(
        "seed {seed}: the solution runs in stage {stage} ({title:?}) before its question is answered"
    )]
    RunUnanswered {
        /// The seed.
        seed: u64,
        /// Number of the stage, from 1.
        stage: usize,
        /// Its title.
        title: String,
    },
    /// A stage cannot be done alone, as a refresher has it.
    #[error("seed {seed}: stage {stage} alone, with everything before it done: {why}")]
    Alone {
        /// The seed.
        seed: u64,
        /// Number of the stage, from 1.
        stage: usize,
        /// Why.
        why: String,
    },
    /// It takes longer than it says.
    #[error("seed {seed}: the lesson says {says} minutes, and its steps take {takes:.1}")]
    TooLong {
        /// The seed.
        seed: u64,
        /// What it says.
        says: u32,
        /// What its steps take.
        takes: f64,
    },
}

/// Longest lesson, minutes.
pub const LONGEST: u32 = 12;

impl Lesson {
    /// Plays the solution and proves that this attempt can be learned from: no stage is done at the
    /// start, the solution does every stage and scores 100, the coach finds nothing but what the lesson
    /// does on purpose, and it finds each mistake the lesson is about.
    ///
    /// # Errors
    /// The first of these that does not hold.
    pub fn prove(&self) -> Result<(), LessonProblem> {
        self.prove_solution()?;
        self.rules.iter().try_for_each(|rule| self.prove_mistake(*rule))
    }

    /// The stages, from 0, that a refresher may pick.
    pub(super) fn refresher_stages(&self) -> Vec<usize> {
        (0..self.stages.len()).filter(|i| self.stages[*i].skill.is_some()).collect()
    }

    fn prove_alone(&self, stage: usize) -> Result<(), LessonProblem> {
        let seed = self.seed;
        let in_stage = |why: String| LessonProblem::Alone { seed, stage: stage + 1, why };
        self.single_stage(stage)
            .map_err(|e| in_stage(e.to_string()))?
            .prove_solution()
            .map_err(|e| in_stage(e.to_string()))
    }

    fn prove_solution(&self) -> Result<(), LessonProblem> {
        let seed = self.seed;
        let at_start = self.progress(&self.start).done;
        if at_start > 0 {
            return Err(LessonProblem::StartsDone { seed, done: at_start });
        }
        let session = self.solved().map_err(|(number, why)| LessonProblem::SolutionStuck {
            seed,
            number,
            why,
        })?;
        let progress = self.progress(&session);
        if !progress.finished() {
            let title = self.stages[progress.done].title.clone();
            let last = session.state().last_run();
            let because = last
                .filter(|r| !r.finished())
                .and_then(|r| r.stop())
                .map_or(String::new(), |e| format!("; its last run stops: {:?}", e.what));
            return Err(LessonProblem::SolutionShort {
                seed,
                stage: progress.done + 1,
                title,
                because,
            });
        }
        self.prove_each_stage(&session)?;
        self.prove_predictions(&session)?;
        let answers = self.answers(&session);
        for (i, stage) in self.stages.iter().enumerate() {
            let asked = answers.iter().find(|a| a.stage == i);
            if stage.ask.is_some() && asked.is_none_or(|a| a.right.is_none()) {
                return Err(LessonProblem::NoAnswer { seed, stage: i + 1 });
            }
        }
        let broken = self.broken(&session);
        if let Some((rule, _)) = broken.first() {
            let review = coach::review(&session);
            let said = review.findings.iter().find(|f| f.rule == *rule);
            let message = said.map_or(String::new(), |f| f.message.to_string());
            return Err(LessonProblem::SolutionFound { seed, rule: *rule, message });
        }
        let score = self.score(&session);
        if score.total != 100 {
            let reasons: Vec<_> = score.parts.iter().map(|(_, p)| p.reason.to_string()).collect();
            return Err(LessonProblem::SolutionScore {
                seed,
                score: score.total,
                reasons: reasons.join(" "),
            });
        }
        let takes = self.minutes_of(&session);
        if takes > f64::from(self.minutes) || self.minutes > LONGEST {
            return Err(LessonProblem::TooLong { seed, says: self.minutes, takes });
        }
        Ok(())
    }

    /// No stage may be done by what the stage before it asked for.
    fn prove_each_stage(&self, session: &Session) -> Result<(), LessonProblem> {
        let mut before = 0;
        for done in self.stages_done(session) {
            if done > before + 1 {
                let stage = before + 1;
                let title = self.stages[stage].title.clone();
                return Err(LessonProblem::StageForNothing {
                    seed: self.seed,
                    stage: stage + 1,
                    title,
                });
            }
            before = done;
        }
        Ok(())
    }

    /// A prediction must come before the first run of its stage: the page disables the run button until then.
    fn prove_predictions(&self, session: &Session) -> Result<(), LessonProblem> {
        let mut before = session.clone();
        while before.actions().len() > self.start_actions() {
            let runs = matches!(before.actions().last(), Some(Action::Run { .. }));
            before.undo();
            if runs && self.open_question(&before).is_some() {
                let stage = self.progress(&before).done;
                let title = self.stages[stage].title.clone();
                return Err(LessonProblem::RunUnanswered {
                    seed: self.seed,
                    stage: stage + 1,
                    title,
                });
            }
        }
        Ok(())
    }

    fn prove_mistake(&self, rule: RuleName) -> Result<(), LessonProblem> {
        let seed = self.seed;
        let Some(session) = mistakes::in_session(rule, &self.start, &self.variant) else {
            return Err(LessonProblem::NoSuchMistake { seed, rule });
        };
        if coach::review(&session).findings.iter().any(|f| f.rule == rule) {
            Ok(())
        } else {
            Err(LessonProblem::NotCaught { seed, rule })
        }
    }
}

/// Proves a lesson with its own seed and with `seeds` others.
///
/// With its own seed every mistake is made and every stage done alone; with the others one of each, in
/// turn.
///
/// # Errors
/// The first thing that does not hold, and with which seed.
pub fn prove_all(lesson: &Lesson, seeds: u64) -> Result<(), LessonProblem> {
    lesson.prove()?;
    for stage in lesson.refresher_stages() {
        lesson.prove_alone(stage)?;
    }
    for n in 0..seeds {
        let seed = FIRST_SEED + n;
        let attempt = lesson.variant(seed).map_err(|why| LessonProblem::Variant { seed, why })?;
        attempt.prove_solution()?;
        let turn = |of: usize| (n as usize) % of.max(1);
        if let Some(rule) = attempt.rules.get(turn(attempt.rules.len())) {
            attempt.prove_mistake(*rule)?;
        }
        let stages = attempt.refresher_stages();
        if let Some(stage) = stages.get(turn(stages.len())) {
            attempt.prove_alone(*stage)?;
        }
    }
    Ok(())
}

/// Where the seeds of the check begin: none that a lesson calls its own.
const FIRST_SEED: u64 = 1000;
