use super::file::{LessonFile, LessonKind, Stage};
use super::shift_task::ShiftTask;
use super::variant::Variant;
use crate::cell::{FAULT_KINDS, Fault, FaultKind};
use crate::coach::RuleName;
use crate::session::{Action, Session};
use std::sync::Arc;

/// Reading speed of a learner who looks at the sheet at the same time, words a minute, and the time
/// one action and one run take, minutes (common practice, no source).
const WORDS_A_MINUTE: f64 = 130.0;
const ACTION: f64 = 5.0 / 60.0;
const RUN: f64 = 15.0 / 60.0;

/// One attempt at a lesson: its texts name this attempt's part, places and numbers.
///
/// [`Lesson::from_toml`] gives the attempt with the file's own seed, [`Lesson::variant`] any other.
/// The same seed always gives the same attempt, and a session keeps both: [`crate::lesson::of_session`].
#[derive(Debug, Clone)]
pub struct Lesson {
    /// Short name in kebab-case; in a refresher with the number of the stage: `slide-and-turn#7`.
    pub name: String,
    /// Its title.
    pub title: String,
    /// What the learner can do afterwards, in a sentence.
    pub about: String,
    /// How long it takes, minutes.
    pub minutes: u32,
    /// What kind of lesson it is.
    pub kind: LessonKind,
    /// Name of this attempt's part.
    pub part: String,
    /// Seed of this attempt.
    pub seed: u64,
    /// The rules it is about.
    pub rules: Vec<RuleName>,
    /// The stages in order, with the names and numbers of this attempt in their texts.
    pub stages: Vec<Stage>,
    pub(super) file: Arc<LessonFile>,
    pub(super) variant: Variant,
    pub(super) start: Session,
    /// In a lesson about a shift: the shift.
    pub(super) shift: Option<ShiftTask>,
    /// Which stage of the lesson this is, from 0, if it is a single one.
    pub(super) single_stage: Option<usize>,
    /// The actions that do that stage, taken from the solution of the lesson.
    pub(super) stage_solution: Option<Vec<Action>>,
}

impl Lesson {
    /// The lesson file, with names in braces where an attempt has its own.
    pub fn file(&self) -> &Arc<LessonFile> {
        &self.file
    }

    /// A session at the start of the attempt.
    pub fn start(&self) -> Session {
        self.start.clone()
    }

    /// Number of actions that set up the start of the attempt: those of the learner come after them.
    pub fn start_actions(&self) -> usize {
        self.start.actions().len()
    }

    /// The same number in a session that may be told: there the start has no actions in secret.
    pub fn start_actions_in(&self, session: &Session) -> usize {
        begun(&self.start, session)
    }

    /// How many of the actions of a session cannot be taken back: those of the start, and in a drill
    /// or a shift everything up to the last thing that took time, said what is wrong or was decided.
    pub fn undo_floor(&self, session: &Session) -> usize {
        let begun = self.start_actions_in(session);
        if self.variant.planted.is_none() && self.shift.is_none() {
            return begun;
        }
        let own = &session.actions()[begun.min(session.actions().len())..];
        let stays = |a: &Action| {
            matches!(
                a,
                Action::Look { .. }
                    | Action::Mend { .. }
                    | Action::Name { .. }
                    | Action::Run { .. }
                    | Action::Resume { .. }
                    | Action::Decide { .. }
            )
        };
        let Some(last) = own.iter().rposition(stays) else { return begun };
        // With the rest of its gesture: the cell is made ready again, what is planted is revealed.
        let with_it = |a: &&Action| matches!(a, Action::SetCell { .. } | Action::Reveal);
        begun + last + 1 + own[last + 1..].iter().take_while(with_it).count()
    }

    /// The same of the start of the whole lesson, where this is a single stage.
    pub(super) fn whole_start_in(&self, session: &Session) -> usize {
        let drawn = self.variant.planted.as_ref();
        let whole = drawn.and_then(|drawn| self.start_with(&drawn.faults));
        whole.map_or_else(|| self.start_actions_in(session), |start| begun(&start, session))
    }

    /// In a drill: names of the faults in the cell; none where nothing is wrong. The page keeps them from
    /// the learner until they are named.
    pub fn planted(&self) -> Vec<&'static str> {
        let drawn = self.variant.planted.as_ref();
        drawn.map_or_else(Vec::new, |drawn| drawn.faults.iter().map(Fault::name).collect())
    }

    /// In a drill: the causes a learner may choose from.
    pub fn causes(&self) -> Vec<&'static FaultKind> {
        let may_be = |c: &&FaultKind| self.file.causes.iter().any(|t| t.name() == c.name);
        FAULT_KINDS.iter().filter(may_be).collect()
    }

    /// How long the solution `solved` takes, and reading the texts, minutes.
    pub fn minutes_of(&self, solved: &Session) -> f64 {
        let words: usize = self.stages.iter().map(words_to_read).sum();
        let own = solved.actions().iter().skip(self.start_actions());
        let done: f64 =
            own.map(|a| if matches!(a, Action::Run { .. }) { RUN } else { ACTION }).sum();
        words as f64 / WORDS_A_MINUTE + done
    }
}

/// How many of the actions of a session belong to this start.
fn begun(start: &Session, session: &Session) -> usize {
    let all = start.actions();
    let open = all.iter().filter(|a| !a.in_secret()).count();
    let told = !session.actions().iter().take(all.len()).any(Action::in_secret);
    if told { open } else { all.len() }
}

/// Words of a stage that its learner reads; twelve stand for the choices of a question.
fn words_to_read(stage: &Stage) -> usize {
    let count = |text: &String| text.split_whitespace().count();
    let asked = stage.ask.as_ref().map_or(0, |a| count(&a.text) + a.because.words() + 12);
    count(&stage.title) + count(&stage.say) + count(&stage.well_done) + asked
}

/// Name of a single stage, from 0, of a lesson: `slide-and-turn#7` for stage 6.
pub(super) fn stage_name(lesson: &str, stage: usize) -> String {
    format!("{lesson}#{}", stage + 1)
}

/// The name of a lesson, or of a single stage of one, as the lesson and the stage from 0.
pub(super) fn split_name(name: &str) -> (&str, Option<usize>) {
    match name.split_once('#') {
        Some((lesson, n)) => (lesson, n.parse::<usize>().ok().and_then(|n| n.checked_sub(1))),
        None => (name, None),
    }
}
