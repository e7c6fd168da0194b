//! A lesson about a shift: which shift an attempt has, and how far a session has come in it.

use super::ask::WhichRun;
use super::error::LessonError;
use super::goal::Goal::PartsDone;
use super::lesson::Lesson;
use super::progress::GivenAnswer;
use super::score::PASS_SCORE;
use super::shift_job::SHIFT_PARTS;
use crate::session::{Action, Decision, Session};
use crate::shift::{SCRAP_MINUTES, Shift, ShiftTally};
use std::sync::Arc;

/// The shift of an attempt.
#[derive(Debug, Clone)]
pub(super) struct ShiftTask {
    /// At its first part.
    pub(super) start: Arc<Shift>,
    /// What the best decisions make of it.
    pub(super) best: ShiftTally,
}

/// How many shifts are drawn until one has trouble of the kind that is wanted.
const DRAWS: u64 = 60;
/// Nothing goes wrong before this part: the chart is read, and a part foretold, before.
const QUIET_PARTS: usize = 12;

impl ShiftTask {
    /// The shift of the attempt with this seed: one in which something goes wrong, though not at its
    /// start, and in which whoever goes on with whatever is found cannot pass.
    pub(super) fn draw(start: &Session, seed: u64) -> Result<Self, LessonError> {
        for draw in 0..DRAWS {
            let number = seed.wrapping_mul(DRAWS).wrapping_add(draw);
            let shift =
                Shift::new(start.state(), number, SHIFT_PARTS).map_err(LessonError::Shift)?;
            if shift.troubles().first().is_none_or(|trouble| trouble.from <= QUIET_PARTS) {
                continue;
            }
            let (blind, best) = (going_on(&shift), shift.best_tally());
            if minutes_over(&blind, &best) > 2 * u32::from(100 - PASS_SCORE) {
                return Ok(Self { start: Arc::new(shift), best });
            }
        }
        Err(LessonError::NoTrouble { seed })
    }
}

/// Minutes lost beyond what the best decisions lose. Looks that were saved do not make up for scrap.
pub(super) fn minutes_over(tally: &ShiftTally, best: &ShiftTally) -> u32 {
    let scrap = tally.scrap.saturating_sub(best.scrap) as u32 * SCRAP_MINUTES;
    scrap + tally.minutes.saturating_sub(best.minutes)
}

/// What becomes of a shift in which every part is welded that was found.
fn going_on(shift: &Shift) -> ShiftTally {
    let mut shift = shift.clone();
    while let Some(felt) = shift.now() {
        let decision = if felt.offset.is_some() { Decision::GoOn } else { Decision::Stop };
        if shift.decide(decision).is_err() {
            break;
        }
    }
    shift.tally()
}

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
