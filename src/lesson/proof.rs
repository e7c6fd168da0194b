use super::ask::{Ask, WhichRun};
use super::file::Stage;
use super::goal::Goal;
use super::lesson::Lesson;
use super::mistakes;
use super::progress::GivenAnswer;
use crate::coach::{self, RuleName};
use crate::session::{ActionError, Session};
use crate::text::Words;
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
    /// An answer that is right with some seed, and of which nothing says why.
    #[error(
        "seed {seed}: nothing says why the answer {answer:?} to the question of stage {stage} is right"
    )]
    NoBecause {
        /// The seed.
        seed: u64,
        /// Number of the stage, from 1.
        stage: usize,
        /// The answer.
        answer: String,
    },
    /// One sentence for answers that are right for different reasons.
    #[error(
        "key `ask.because` of stage {stage}: expected a sentence for each answer, since each of {answers} is right with some seed"
    )]
    OneBecause {
        /// Number of the stage, from 1.
        stage: usize,
        /// The answers that occur.
        answers: String,
    },
    /// A prediction that nearly always comes out the same.
    #[error(
        "the answer to the prediction of stage {stage} ({title:?}) is {answer:?} with {percent} % of the seeds, of {MOST_OF_ONE_PERCENT} % that are allowed"
    )]
    OneSided {
        /// Number of the stage, from 1.
        stage: usize,
        /// Its title.
        title: String,
        /// The answer.
        answer: String,
        /// How often it is right.
        percent: usize,
    },
    /// A text names what the learner is to find out.
    #[error(
        "stage {stage}, key `{key}`: expected nothing that tells what was drawn, and found {found:?}"
    )]
    Told {
        /// Number of the stage, from 1.
        stage: usize,
        /// Which text.
        key: &'static str,
        /// The name that stands in it.
        found: String,
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

/// A prediction teaches nothing if it always comes out the same: no answer may be right more often than
/// this, in percent (our own choice).
const MOST_OF_ONE_PERCENT: usize = 70;
/// With fewer seeds the shares of the answers say too little.
const ENOUGH_SEEDS: u64 = 100;

/// How often each answer to a question was right, over many seeds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AnswerCounts {
    /// Number of the stage, from 1.
    pub stage: usize,
    /// Its title.
    pub title: String,
    /// Whether it is a prediction.
    pub predicted: bool,
    /// Each answer, and with how many seeds it was right.
    pub answers: Vec<(String, usize)>,
}

impl Lesson {
    /// Plays the solution and proves that this attempt can be learned from: no stage is done at the
    /// start, the solution does every stage and scores 100, the coach finds nothing but what the lesson
    /// does on purpose, and it finds each mistake the lesson is about.
    ///
    /// # Errors
    /// The first of these that does not hold.
    pub fn prove(&self) -> Result<(), LessonProblem> {
        self.proved().map(|_| ())
    }

    /// The same, and the answers of its solution.
    fn proved(&self) -> Result<Vec<GivenAnswer>, LessonProblem> {
        self.prove_secrets()?;
        let answers = self.prove_solution()?;
        self.rules.iter().try_for_each(|rule| self.prove_mistake(*rule))?;
        Ok(answers)
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
            .map(|_| ())
            .map_err(|e| in_stage(e.to_string()))
    }

    /// Proves the solution, and returns its answers.
    fn prove_solution(&self) -> Result<Vec<GivenAnswer>, LessonProblem> {
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
            let Some(ask) = &stage.ask else { continue };
            let Some(right) = asked.and_then(|a| a.right) else {
                return Err(LessonProblem::NoAnswer { seed, stage: i + 1 });
            };
            if ask.because_of(right).is_none() {
                let answer = ask.choices().swap_remove(right);
                return Err(LessonProblem::NoBecause { seed, stage: i + 1, answer });
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
        Ok(answers)
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
        let Some(stage) = self.run_unanswered(session) else { return Ok(()) };
        let title = self.stages[stage].title.clone();
        Err(LessonProblem::RunUnanswered { seed: self.seed, stage: stage + 1, title })
    }

    /// Until it is found out, no text may name what the seed has drawn.
    fn prove_secrets(&self) -> Result<(), LessonProblem> {
        let rules = self.file.start.draws.iter().flat_map(|draw| &draw.mistakes);
        let drawn = rules.flat_map(|rule| [rule.to_string(), rule.title(Words::default())]);
        let faults = self.causes().into_iter().flat_map(|kind| [kind.name, kind.says]);
        let found = |stage: &Stage| stage.goal == Goal::CauseNamed;
        let secrets: [(Option<usize>, Vec<String>); 2] = [
            (self.file.first_prediction(), drawn.collect()),
            (self.stages.iter().position(found), faults.map(str::to_owned).collect()),
        ];
        for (last, names) in secrets {
            let until = last.map_or(0, |last| last + 1);
            for (i, stage) in self.stages.iter().enumerate().take(until) {
                let after = |key| ["ask.because", "well_done"].contains(&key) && Some(i) == last;
                for (key, text) in stage.texts().filter(|(key, _)| !after(*key)) {
                    let text = text.to_lowercase();
                    let tells = |name: &&String| text.contains(&name.to_lowercase());
                    if let Some(found) = names.iter().find(tells).cloned() {
                        return Err(LessonProblem::Told { stage: i + 1, key, found });
                    }
                }
            }
        }
        Ok(())
    }

    fn counts(&self) -> Vec<AnswerCounts> {
        let asked =
            self.stages.iter().enumerate().filter_map(|(i, s)| Some((i, s, s.ask.as_ref()?)));
        asked
            .map(|(i, stage, ask)| AnswerCounts {
                stage: i + 1,
                title: stage.title.clone(),
                predicted: ask.run == WhichRun::Next,
                answers: ask.choices().into_iter().map(|answer| (answer, 0)).collect(),
            })
            .collect()
    }

    /// No prediction always comes out the same, and what comes out in different ways is explained in
    /// different words.
    fn prove_counts(&self, all: &[AnswerCounts], seeds: u64) -> Result<(), LessonProblem> {
        for counts in all {
            let stage = counts.stage;
            let occur: Vec<_> = counts.answers.iter().filter(|(_, n)| *n > 0).collect();
            let ask = self.stages[stage - 1].ask.as_ref();
            if occur.len() > 1 && ask.is_some_and(Ask::needs_because_by_answer) {
                let answers: Vec<_> =
                    occur.iter().map(|(answer, _)| format!("{answer:?}")).collect();
                return Err(LessonProblem::OneBecause { stage, answers: answers.join(", ") });
            }
            let most = occur.iter().max_by_key(|(_, n)| *n);
            let total: usize = occur.iter().map(|(_, n)| n).sum();
            if let Some((answer, n)) = most.filter(|_| counts.predicted && seeds >= ENOUGH_SEEDS) {
                let percent = 100 * n / total;
                if percent > MOST_OF_ONE_PERCENT {
                    let (title, answer) = (counts.title.clone(), answer.clone());
                    return Err(LessonProblem::OneSided { stage, title, answer, percent });
                }
            }
        }
        Ok(())
    }

    /// A session in which the whole job is done with this one mistake; `None` if it cannot be made on this
    /// attempt's part.
    pub fn with_mistake(&self, rule: RuleName) -> Option<Session> {
        mistakes::in_session(rule, &self.start, &self.variant)
    }

    fn prove_mistake(&self, rule: RuleName) -> Result<(), LessonProblem> {
        let seed = self.seed;
        let Some(session) = self.with_mistake(rule) else {
            return Err(LessonProblem::NoSuchMistake { seed, rule });
        };
        if coach::broken_rules(&session).iter().any(|(broken, _)| *broken == rule) {
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
    let mut counts = lesson.counts();
    add(&mut counts, &lesson.proved()?);
    for stage in lesson.refresher_stages() {
        lesson.prove_alone(stage)?;
    }
    for n in 0..seeds {
        let attempt = other_attempt(lesson, n)?;
        add(&mut counts, &attempt.prove_solution()?);
        let turn = |of: usize| (n as usize) % of.max(1);
        if let Some(rule) = attempt.rules.get(turn(attempt.rules.len())) {
            attempt.prove_mistake(*rule)?;
        }
        let stages = attempt.refresher_stages();
        if let Some(stage) = stages.get(turn(stages.len())) {
            attempt.prove_alone(*stage)?;
        }
    }
    lesson.prove_counts(&counts, seeds)
}

/// How often each answer is right, with the lesson's own seed and with `seeds` others.
///
/// # Errors
/// If an attempt cannot be set up or solved.
pub fn answer_counts(lesson: &Lesson, seeds: u64) -> Result<Vec<AnswerCounts>, LessonProblem> {
    let mut counts = lesson.counts();
    let mut solve = |attempt: &Lesson| {
        let seed = attempt.seed;
        let solved = attempt.solved();
        let solved =
            solved.map_err(|(number, why)| LessonProblem::SolutionStuck { seed, number, why })?;
        add(&mut counts, &attempt.answers(&solved));
        Ok(())
    };
    solve(lesson)?;
    (0..seeds).try_for_each(|n| solve(&other_attempt(lesson, n)?))?;
    Ok(counts)
}

fn other_attempt(lesson: &Lesson, n: u64) -> Result<Lesson, LessonProblem> {
    let seed = FIRST_SEED + n;
    lesson.variant(seed).map_err(|why| LessonProblem::Variant { seed, why })
}

fn add(counts: &mut [AnswerCounts], answers: &[GivenAnswer]) {
    for answer in answers {
        let asked = counts.iter_mut().find(|c| c.stage == answer.stage + 1);
        if let (Some(asked), Some(right)) = (asked, answer.right) {
            asked.answers[right].1 += 1;
        }
    }
}

/// Where the seeds of the check begin: none that a lesson calls its own.
const FIRST_SEED: u64 = 1000;
