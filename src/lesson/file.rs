use super::ask::{Ask, WhichRun};
use super::drill::FaultTemplate;
use super::goal::Goal;
use super::scripted_action::ScriptedAction;
use crate::cell::{Fault, Part};
use crate::coach::{RuleName, Skill};
use crate::geometry::PoseFile;
use crate::io::array;
use crate::locate::Freedoms;
use crate::routine::{Routine, StepKind};
use crate::session::Action;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The version of the lesson format that this program reads.
pub const LESSON_VERSION: u32 = 2;

/// A lesson as it stands in its TOML file. `lessons/README.md` describes every key.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LessonFile {
    /// [`LESSON_VERSION`].
    pub format_version: u32,
    /// Short name in kebab-case, the file's own name without its ending.
    pub name: String,
    /// Its title.
    pub title: String,
    /// What the learner can do afterwards, in a sentence.
    pub about: String,
    /// What its instructor looks for. Learners do not read it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub watch_for: String,
    /// How long it takes, minutes.
    pub minutes: u32,
    /// Guided or drill.
    #[serde(default)]
    pub kind: LessonKind,
    /// Name of the part at the lesson's own seed.
    pub part: String,
    /// Parts that other seeds may draw instead.
    #[serde(default)]
    pub other_parts: Vec<String>,
    /// Parts that come with the lesson, as part files have them: its other keys may name them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub own_parts: Vec<Part>,
    /// The lesson's own seed.
    pub seed: u64,
    /// The rules it is about; the proof of the lesson checks that the coach finds a breach of each.
    #[serde(default)]
    pub rules: Vec<RuleName>,
    /// Rules that the lesson breaks on purpose, to show the consequence.
    #[serde(default)]
    pub on_purpose: Vec<RuleName>,
    /// What is on the sheet at the start.
    #[serde(default)]
    pub start: LessonStart,
    /// The routine it starts with, given in full.
    #[serde(default)]
    pub routine: Routine,
    /// Where the part lies at the start.
    #[serde(default)]
    pub place: PoseFile,
    /// Faults that are planted at the start, given in full.
    #[serde(default)]
    pub faults: Vec<Fault>,
    /// Where the nudge takes the part at the lesson's own seed; drawn from the fixture's play if left out. Where
    /// bodies that move by themselves then lie on it is always drawn.
    #[serde(default)]
    pub nudge: PoseFile,
    /// What a drill may plant; the seed takes them in turn.
    #[serde(default)]
    pub causes: Vec<FaultTemplate>,
    /// What is to be done, in order.
    pub stages: Vec<Stage>,
    /// The solution as scripted actions.
    #[serde(default)]
    pub solve: Vec<ScriptedAction>,
    /// The solution action by action; played after `solve`.
    #[serde(default)]
    pub solution: Vec<Action>,
}

/// What kind of lesson it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LessonKind {
    /// It leads from stage to stage.
    #[default]
    Guided,
    /// Something is wrong: the learner finds the cause and repairs it.
    Drill,
    /// Many parts one after the other, while troubles creep in.
    Shift,
    /// One stage of another lesson, for practice. Not in files: the refresher makes it.
    Refresher,
    /// One stage of a lesson in a test of the course, without help. Not in files either.
    Test,
}

/// What is on the sheet at the start.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct LessonStart {
    /// Which routine.
    pub sheet: StartRoutine,
    /// Kinds of step that are left out of it.
    pub gaps: Vec<StepKind>,
    /// How many touches of each face it has at most; all, if left out.
    pub touches: Option<usize>,
    /// Rules of the coach that it breaks.
    pub mistakes: Vec<RuleName>,
    /// What has been done before the learner begins.
    pub did: Vec<ScriptedAction>,
    /// Of these the seed draws one; it comes on top of the rest.
    pub draws: Vec<StartDraw>,
}

/// One way in which a lesson may begin. What it has of its own shows nowhere but in what it brings about.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct StartDraw {
    /// Rules of the coach that the routine breaks as well.
    pub mistakes: Vec<RuleName>,
    /// Whether the find is not asked for slides that no touch sees.
    pub untick_unseen: bool,
    /// What the nudge leaves as it was.
    pub still: Freedoms,
    /// Bodies that could move by themselves, and that the nudge leaves where they are drawn on the part.
    pub still_bodies: Vec<String>,
    /// What has been done as well before the learner begins.
    pub did: Vec<ScriptedAction>,
    /// Texts for names in braces: what is wrong, and how to mend it.
    pub words: BTreeMap<String, String>,
}

impl StartDraw {
    /// Whether a finding of this rule comes of the draw.
    pub(super) fn brings(&self, rule: RuleName) -> bool {
        self.mistakes.contains(&rule) || (self.untick_unseen && rule == RuleName::FreedomsTooFew)
    }
}

/// Which routine is there at the start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StartRoutine {
    /// None.
    #[default]
    Blank,
    /// The weld alone, as for a part that never moves.
    Plain,
    /// The whole routine.
    Worked,
}

/// One task of a lesson.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stage {
    /// What to do, in a few words.
    pub title: String,
    /// What to do and why, in short sentences.
    pub say: String,
    /// Where on the page it is done.
    #[serde(default)]
    pub look_at: LookAt,
    /// Name of the skill it belongs to; such a stage may come back in a refresher.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub skill: Option<String>,
    /// Three hints: ask, point, show.
    #[serde(deserialize_with = "array")]
    pub hints: [String; 3],
    /// A question to answer, before a run or about it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ask: Option<Ask>,
    /// When it is done; a stage with a question also needs the answer.
    #[serde(default)]
    pub goal: Goal,
    /// Praise, shown when the stage is done.
    pub well_done: String,
}

/// A place on the page that a stage points to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LookAt {
    /// The drawing.
    #[default]
    Sheet,
    /// The list of steps and the buttons that add to it.
    Routine,
    /// The settings of a step.
    Step,
    /// The buttons that run it.
    Run,
    /// Moving the part.
    Nudge,
    /// The readings table.
    Readings,
    /// The coach.
    Coach,
    /// In a shift: the charts of the parts so far.
    Charts,
    /// In a shift: what is known of the part that waits, and what can be decided.
    Decisions,
}

impl LessonFile {
    /// The first stage, from 0, that asks for a prediction: until its run nothing may tell what was drawn.
    pub(super) fn first_prediction(&self) -> Option<usize> {
        let predicts = |s: &Stage| s.ask.as_ref().is_some_and(|ask| ask.run == WhichRun::Next);
        self.stages.iter().position(predicts)
    }
}

impl Stage {
    /// The skill it belongs to.
    pub fn skill(&self) -> Option<Skill> {
        let name = self.skill.as_deref()?;
        Skill::ALL.into_iter().find(|s| s.name() == name)
    }

    /// Every text of the stage with its key in the file.
    pub fn texts(&self) -> impl Iterator<Item = (&'static str, &str)> {
        let own = [
            ("title", &self.title),
            ("say", &self.say),
            ("hints", &self.hints[0]),
            ("hints", &self.hints[1]),
            ("hints", &self.hints[2]),
            ("well_done", &self.well_done),
        ];
        let asked = self.ask.iter().flat_map(|a| {
            let because = a.because.texts().into_iter().map(|text| ("ask.because", text));
            std::iter::once(("ask.text", &a.text)).chain(because)
        });
        own.into_iter().chain(asked).map(|(k, t)| (k, t.as_str()))
    }

    pub(super) fn texts_mut(&mut self) -> impl Iterator<Item = (&'static str, &mut String)> {
        let [a, b, c] = &mut self.hints;
        let own = [
            ("title", &mut self.title),
            ("say", &mut self.say),
            ("hints", a),
            ("hints", b),
            ("hints", c),
            ("well_done", &mut self.well_done),
        ];
        let asked = self.ask.iter_mut().flat_map(|a| {
            let because = a.because.texts_mut().into_iter().map(|text| ("ask.because", text));
            std::iter::once(("ask.text", &mut a.text)).chain(because)
        });
        own.into_iter().chain(asked)
    }
}
