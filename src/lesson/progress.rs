use super::ask::{Ask, WhichRun};
use super::file::Stage;
use super::goal::Goal;
use super::lesson::Lesson;
use crate::routine::RunLog;
use crate::session::{Action, Certainty, Moment, Session, State};
use crate::shift::Shift;
use std::sync::Arc;

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
pub struct GivenAnswer {
    /// Number of the stage, from 0.
    pub stage: usize,
    /// The choice taken, from 0.
    pub answer: usize,
    /// Whether its run is over; in a shift, whether its part was felt.
    pub over: bool,
    /// Whether a run since the answer was not one that shows it: one given up, or of another kind than the
    /// stage asks for.
    pub not_shown: bool,
    /// The right choice, from 0; known once its run is over, if that got so far as to show it.
    pub right: Option<usize>,
    /// Number of the run it is about among the session's runs, from 0; in a shift that of the part. A
    /// prediction is about the first run that shows it.
    pub run: usize,
    /// How sure the learner is of it, if it is a prediction.
    pub certainty: Option<Certainty>,
}

impl GivenAnswer {
    /// Whether the answer was right; `None` before its run, or if that did not show it.
    pub fn was_right(&self) -> Option<bool> {
        self.right.map(|r| r == self.answer)
    }

    /// Whether the answer stands: its run shows what is right, or one was made since.
    pub fn is_closed(&self) -> bool {
        self.right.is_some() || self.not_shown
    }

    /// Whether the question is answered whole: a prediction also says how sure one is.
    fn is_whole(&self, ask: &Ask) -> bool {
        ask.run == WhichRun::Last || self.certainty.is_some()
    }
}

/// Whether a run, from 0, was made and is over: also where it was paused and given up. In a shift a part is felt
/// where elsewhere a run is made.
fn is_over(state: &State, shift: Option<&Shift>, run: usize) -> bool {
    if let Some(shift) = shift {
        return run < shift.felt().count();
    }
    let after = state.runs.len().saturating_sub(run);
    after > 1 || (after == 1 && state.paused.is_none())
}

/// What the run of a stage says about its question: the right choice, from 0, if the run is over, is of the
/// kind that the stage asks for, and shows it.
fn shown_by(stage: &Stage, run: &RunLog) -> Option<usize> {
    let kind = stage.goal.kind_of_run().is_none_or(|kind| kind == run.kind);
    stage.ask.as_ref().filter(|_| kind && run.is_over())?.right(run)
}

impl Stage {
    /// Whether an answer counts: a prediction at any time, a reading once there is what the stage asks for.
    fn may_be_answered(&self, state: &State, planted: &[&str], shift: Option<&Shift>) -> bool {
        let predicts = self.ask.as_ref().is_none_or(|ask| ask.run == WhichRun::Next);
        predicts || self.goal.met(state, planted, shift)
    }
}

/// The `rule` of a hint of a stage, from 0, which belongs to no rule of the coach.
fn hint_name(stage: usize) -> String {
    format!("stage-{}", stage + 1)
}

impl Lesson {
    /// How far the session has come.
    ///
    /// A stage is done once its goal is met while it is the current one, and stays done. A stage with
    /// a question needs the answer first and, if it is a prediction, a run after the answer. So
    /// progress depends on the actions and their order, and undo takes it back.
    pub fn progress(&self, session: &Session) -> Progress {
        let done = self.stages_done(session).last().copied().unwrap_or(0);
        Progress { done, stages: self.stages.len() }
    }

    /// Whether the session starts with the setup actions of this attempt. Their numbers are not
    /// compared, since a file may round them.
    pub fn is_start_of(&self, session: &Session) -> bool {
        let (theirs, ours) = (session.actions(), self.start.actions());
        session.header().part.name == self.part
            && theirs.len() >= ours.len()
            && theirs.iter().zip(ours).all(|(a, b)| a.name() == b.name())
    }

    /// The prediction that the current stage needs before its next run, if it is still open.
    pub fn open_question(&self, session: &Session) -> Option<&Ask> {
        let (Progress { done, .. }, answers) = self.standing(session);
        self.question_of(done, &answers)
    }

    /// The same, with progress and answers given.
    pub fn question_of(&self, done: usize, answers: &[GivenAnswer]) -> Option<&Ask> {
        let ask = self.stages.get(done)?.ask.as_ref().filter(|a| a.run == WhichRun::Next)?;
        let answered = answers.iter().any(|a| a.stage == done && a.is_whole(ask));
        (!answered).then_some(ask)
    }

    /// Whether the stage under way asks for a prediction whose run is not over. Until then nothing may
    /// tell how it will come out.
    pub fn keeps_quiet(&self, done: usize, answers: &[GivenAnswer]) -> bool {
        let ask = self.stages.get(done).and_then(|s| s.ask.as_ref());
        ask.is_some_and(|ask| ask.run == WhichRun::Next)
            && answers.iter().all(|a| a.stage != done || !(a.over || a.not_shown))
    }

    /// Whether the causes are still to be named: until then the coach would give them away.
    pub fn names_causes_later(&self, done: usize) -> bool {
        self.stages.iter().skip(done).any(|stage| stage.goal.asks_for(&Goal::CauseNamed))
    }

    /// Whether the stage under way asks for a reading that cannot be made yet: its goal is met first.
    pub fn reads_later(&self, done: usize, session: &Session) -> bool {
        let reads = |s: &&Stage| s.ask.as_ref().is_some_and(|ask| ask.run == WhichRun::Last);
        self.stages.get(done).filter(reads).is_some_and(|stage| {
            let shift = self.shift(session);
            !stage.may_be_answered(session.state(), &self.planted(), shift.as_ref())
        })
    }

    /// Highest hint level asked for in a stage, from 0; none is 0.
    pub fn hints_shown(&self, session: &Session, stage: usize) -> usize {
        let name = hint_name(stage);
        let asked = session.state().hints.iter().filter(|(rule, _)| *rule == name);
        asked.map(|(_, level)| usize::from(*level)).max().unwrap_or(0)
    }

    /// The action that asks for the next hint of a stage, from 0; `None` after the last.
    pub fn next_hint(&self, session: &Session, stage: usize) -> Option<Action> {
        let shown = self.hints_shown(session, stage);
        let more = shown < self.stages.get(stage)?.hints.len();
        // A stage has three hints, so the level fits.
        more.then(|| Action::Hint { rule: hint_name(stage), hint_level: shown as u8 + 1 })
    }

    /// Stages done at the start of the attempt and after each action of the learner since.
    pub(super) fn stages_done(&self, session: &Session) -> Vec<usize> {
        let mut seen = Vec::new();
        self.look(&mut seen, session);
        seen.iter().map(|s| s.done).collect()
    }

    /// The first stage, from 0, in which a run was begun before its prediction was made.
    pub(super) fn run_unanswered(&self, session: &Session) -> Option<usize> {
        let mut seen = Vec::new();
        self.look(&mut seen, session);
        let own = session.actions().iter().skip(self.start_actions());
        let runs = own
            .zip(&seen)
            .filter(|(action, _)| matches!(action, Action::Run { .. } | Action::Decide { .. }));
        runs.map(|(_, before)| before)
            .find(|before| self.question_of(before.done, &before.answers).is_some())
            .map(|before| before.done)
    }

    /// Every answer given so far, with the right one where its run is over.
    pub fn answers(&self, session: &Session) -> Vec<GivenAnswer> {
        self.standing(session).1
    }

    /// Progress and answers at once.
    pub fn standing(&self, session: &Session) -> (Progress, Vec<GivenAnswer>) {
        self.standing_after(&mut Vec::new(), session)
    }

    fn standing_after(
        &self,
        seen: &mut Vec<Seen>,
        session: &Session,
    ) -> (Progress, Vec<GivenAnswer>) {
        self.look(seen, session);
        let (done, answers) = seen.last().map(Seen::stand).unwrap_or_default();
        let mut answers = Arc::unwrap_or_clone(answers);
        let runs = &session.state().runs;
        let shift = seen.last().and_then(|s| s.shift.clone());
        for a in &mut answers {
            let stage = &self.stages[a.stage];
            let whole = stage.ask.as_ref().filter(|ask| a.is_whole(ask));
            a.over = whole.is_some() && is_over(session.state(), shift.as_deref(), a.run);
            a.right = whole.and_then(|ask| match &shift {
                Some(shift) => ask.right_in_shift(shift, a.run),
                None => shown_by(stage, runs.get(a.run)?),
            });
        }
        (Progress { done, stages: self.stages.len() }, answers)
    }

    /// Brings `seen` up to date with the session: one entry for the start and one for each action of
    /// the learner.
    fn look(&self, seen: &mut Vec<Seen>, session: &Session) {
        let begun = self.start_actions_in(session);
        // If an entry is unchanged, all earlier ones are too.
        while let Some(last) = seen.last()
            && session.moment(begun + seen.len() - 1).is_none_or(|m| m != last.moment)
        {
            seen.pop();
        }
        let planted = self.planted();
        let first = begun + seen.len();
        for (n, state) in (first..).zip(session.states(first)) {
            let Some(moment) = session.moment(n) else { break };
            let (mut done, mut answers) = seen.last().map(Seen::stand).unwrap_or_default();
            let by_learner = n.checked_sub(1).filter(|i| *i >= begun);
            let mut shift = match seen.last() {
                Some(before) => before.shift.clone(),
                None => self.shift.as_ref().map(|task| task.start.clone()),
            };
            if let Some(Action::Decide { what }) = by_learner.and_then(|i| session.actions().get(i))
                && let Some(shift) = &mut shift
            {
                // What cannot be decided changes nothing.
                let _ = Arc::make_mut(shift).decide(*what);
            }
            // In a shift a part is felt where elsewhere a run is made.
            let runs = shift.as_ref().map_or(state.runs.len(), |shift| shift.felt().count());
            if let Some(Action::Predict { stage, answer, certainty }) =
                by_learner.and_then(|i| session.actions().get(i))
                && *stage == done + 1
                && let Some(stage) = self.stages.get(done)
                && let Some(ask) = &stage.ask
                && (1..=ask.choices().len()).contains(answer)
                && stage.may_be_answered(&state, &planted, shift.as_deref())
            {
                let run = if ask.run == WhichRun::Next { Some(runs) } else { runs.checked_sub(1) };
                let given = answers.last().filter(|a| a.stage == done).copied();
                // A prediction may be changed until its run is made, a reading is given once.
                let unseen = |a: &GivenAnswer| a.run == runs && !a.not_shown;
                let open = given
                    .is_none_or(|a| ask.run == WhichRun::Next && (unseen(&a) || !a.is_whole(ask)));
                if let (Some(run), true) = (run, open) {
                    let answers = Arc::make_mut(&mut answers);
                    answers.retain(|a| a.stage != done);
                    answers.push(GivenAnswer {
                        stage: done,
                        answer: answer - 1,
                        over: false,
                        not_shown: false,
                        right: None,
                        run,
                        certainty: *certainty,
                    });
                }
            }
            if shift.is_none()
                && let Some(stage) = self.stages.get(done)
                && let Some(ask) = stage.ask.as_ref().filter(|ask| ask.run == WhichRun::Next)
                && let Some(given) = answers.iter().position(|a| a.stage == done && a.is_whole(ask))
                && is_over(&state, None, answers[given].run)
                && shown_by(stage, &state.runs[answers[given].run]).is_none()
            {
                let given = &mut Arc::make_mut(&mut answers)[given];
                (given.run, given.not_shown) = (given.run + 1, true);
            }
            while let Some(stage) = self.stages.get(done) {
                let answered = stage.ask.as_ref().is_none_or(|ask| {
                    answers.iter().any(|a| {
                        a.stage == done
                            && a.is_whole(ask)
                            && (a.not_shown || is_over(&state, shift.as_deref(), a.run))
                    })
                });
                if !answered || !stage.goal.met(&state, &planted, shift.as_deref()) {
                    break;
                }
                done += 1;
            }
            seen.push(Seen { moment, done, answers, shift });
        }
    }
}

/// Progress and answers after one action.
#[derive(Debug, Clone)]
struct Seen {
    moment: Moment,
    done: usize,
    answers: Arc<Vec<GivenAnswer>>,
    /// In a lesson about a shift: how far it has come.
    shift: Option<Arc<Shift>>,
}

impl Seen {
    fn stand(&self) -> (usize, Arc<Vec<GivenAnswer>>) {
        (self.done, self.answers.clone())
    }
}

/// Follows the progress of one attempt: each call works through the new actions only.
#[derive(Debug, Clone)]
pub struct ProgressTracker {
    lesson: Arc<Lesson>,
    seen: Vec<Seen>,
}

impl ProgressTracker {
    /// A tracker that has not seen any session yet.
    pub fn new(lesson: Arc<Lesson>) -> Self {
        Self { lesson, seen: Vec::new() }
    }

    /// The lesson.
    pub fn lesson(&self) -> &Arc<Lesson> {
        &self.lesson
    }

    /// The same as [`Lesson::standing`], also after undo or another branch of the session.
    pub fn standing(&mut self, session: &Session) -> (Progress, Vec<GivenAnswer>) {
        self.lesson.standing_after(&mut self.seen, session)
    }
}
