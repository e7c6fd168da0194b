use super::ask::{Ask, Which};
use super::lesson::Lesson;
use crate::session::{Action, Session};

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

/// A question that has been answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Answered {
    /// Number of the stage, from 0.
    pub stage: usize,
    /// The choice taken, from 0.
    pub answer: usize,
    /// The right choice, from 0: known once the run it is about has been made.
    pub right: Option<usize>,
    /// Number of the run it is about among the session's runs, from 0.
    pub run: usize,
}

impl Answered {
    /// Whether the answer was right; `None` before its run.
    pub fn was_right(&self) -> Option<bool> {
        self.right.map(|r| r == self.answer)
    }
}

/// What a hint of a stage, from 0, is about, where one of the coach names its rule.
fn hint_name(stage: usize) -> String {
    format!("stage-{}", stage + 1)
}

impl Lesson {
    /// How far the session has come.
    ///
    /// A stage is done once its goal was met while it was the one under way, and stays done. One
    /// with a question needs its answer first and, if it is a prediction, a run after the answer.
    /// So progress depends on what was done and in which order, and undo takes it back.
    pub fn progress(&self, session: &Session) -> Progress {
        let done = self.marks(session).last().copied().unwrap_or(0);
        Progress { done, stages: self.stages.len() }
    }

    /// Whether the session begins as this attempt begins. Numbers are not compared: a file may round.
    pub fn begins(&self, session: &Session) -> bool {
        let (theirs, ours) = (session.actions(), self.begin.actions());
        session.header().part.name == self.part
            && theirs.len() >= ours.len()
            && theirs.iter().zip(ours).all(|(a, b)| a.name() == b.name())
    }

    /// The question under way that must be answered before the next run: a prediction.
    pub fn open_question(&self, session: &Session) -> Option<&Ask> {
        let (Progress { done, .. }, answers) = self.standing(session);
        self.question_of(done, &answers)
    }

    /// The same, where progress and answers are known.
    pub fn question_of(&self, done: usize, answers: &[Answered]) -> Option<&Ask> {
        let ask = self.stages.get(done)?.ask.as_ref().filter(|a| a.run == Which::Next)?;
        let answered = answers.iter().any(|a| a.stage == done);
        (!answered).then_some(ask)
    }

    /// How many rungs of the hints of a stage, from 0, have been asked for.
    pub fn hints_shown(&self, session: &Session, stage: usize) -> usize {
        let name = hint_name(stage);
        let rungs = session.state().hints.iter().filter(|(rule, _)| *rule == name);
        rungs.map(|(_, rung)| usize::from(*rung)).max().unwrap_or(0)
    }

    /// What asks for the next rung of the hints of a stage, from 0.
    pub fn next_hint(&self, session: &Session, stage: usize) -> Option<Action> {
        let shown = self.hints_shown(session, stage);
        let more = shown < self.stages.get(stage)?.hints.len();
        // At most three.
        more.then(|| Action::Hint { rule: hint_name(stage), rung: shown as u8 + 1 })
    }

    /// Stages done at the start of the attempt and after each action of the learner since.
    pub(super) fn marks(&self, session: &Session) -> Vec<usize> {
        self.walk(session).0
    }

    /// Every question answered so far, with what the runs really did.
    pub fn answers(&self, session: &Session) -> Vec<Answered> {
        self.standing(session).1
    }

    /// Progress and answers at once: both come from the same walk through the session.
    pub fn standing(&self, session: &Session) -> (Progress, Vec<Answered>) {
        let runs = &session.state().runs;
        let (marks, mut answers) = self.walk(session);
        let done = marks.last().copied().unwrap_or(0);
        for a in &mut answers {
            let ask = self.stages[a.stage].ask.as_ref();
            let run = runs.get(a.run).filter(|r| r.end.is_some());
            a.right = ask.zip(run).and_then(|(ask, run)| ask.right(run));
        }
        (Progress { done, stages: self.stages.len() }, answers)
    }

    fn walk(&self, session: &Session) -> (Vec<usize>, Vec<Answered>) {
        let (mut done, mut answers, mut marks) = (0, Vec::<Answered>::new(), Vec::new());
        for n in self.begun()..=session.actions().len() {
            let Some(state) = session.state_before(n) else { break };
            let runs = state.runs.len();
            let by_learner = n.checked_sub(1).filter(|i| *i >= self.begun());
            if let Some(Action::Predict { stage, answer }) =
                by_learner.and_then(|i| session.actions().get(i))
                && *stage == done + 1
                && let Some(ask) = self.stages.get(done).and_then(|s| s.ask.as_ref())
                && (1..=ask.choices().len()).contains(answer)
            {
                let run = if ask.run == Which::Next { Some(runs) } else { runs.checked_sub(1) };
                let given = answers.last().filter(|a| a.stage == done).copied();
                // A prediction may be changed until its run is made, a reading is given once.
                let open = given.is_none_or(|a| ask.run == Which::Next && a.run == runs);
                if let (Some(run), true) = (run, open) {
                    answers.retain(|a| a.stage != done);
                    answers.push(Answered { stage: done, answer: answer - 1, right: None, run });
                }
            }
            while let Some(stage) = self.stages.get(done) {
                let answered = stage.ask.is_none()
                    || answers.iter().any(|a| {
                        a.stage == done && state.runs.get(a.run).is_some_and(|r| r.end.is_some())
                    });
                if !answered || !stage.goal.met(state, self.cause()) {
                    break;
                }
                done += 1;
            }
            marks.push(done);
        }
        (marks, answers)
    }
}
