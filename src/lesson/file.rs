use super::goal::Goal;
use crate::cell::{Fault, Part, part_by_name};
use crate::geometry::PoseFile;
use crate::routine::Routine;
use crate::session::{Action, ActionError, Header, Session};
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// The version of the lesson format that this program reads.
pub const LESSON_VERSION: u32 = 1;

/// A guided task, read from a TOML file. `lessons/README.md` describes every key.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lesson {
    /// [`LESSON_VERSION`].
    pub format_version: u32,
    /// Short name in kebab-case, the file's own name without its ending.
    pub name: String,
    /// What stands above it.
    pub title: String,
    /// What one can do afterwards, in a sentence.
    pub about: String,
    /// How long it takes, minutes.
    pub minutes: u32,
    /// Name of the part.
    pub part: String,
    /// Seed of everything random in it.
    pub seed: u64,
    /// The rules it is about.
    #[serde(default)]
    pub rules: Vec<String>,
    /// The routine it starts with; a blank sheet if left out.
    #[serde(default)]
    pub routine: Routine,
    /// Where the part lies at the start.
    #[serde(default)]
    pub place: PoseFile,
    /// Faults that are planted at the start.
    #[serde(default)]
    pub faults: Vec<Fault>,
    /// What is to be done, in order.
    pub stages: Vec<Stage>,
    /// Actions that do the whole lesson as it should be done.
    pub solution: Vec<Action>,
}

/// One thing to do.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stage {
    /// What to do, in a few words.
    pub title: String,
    /// What to do and why, in short sentences.
    pub say: String,
    /// Where on the page it is done.
    #[serde(default)]
    pub look_at: Place,
    /// Three hints: ask, point, show.
    pub hints: [String; 3],
    /// When it is done.
    pub goal: Goal,
    /// What was good about it, said when it is done.
    pub well_done: String,
}

/// A place on the page that a stage points to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// The drawing.
    #[default]
    Sheet,
    /// The list of steps and the buttons that add to it.
    Routine,
    /// The form of the probe plan.
    Plan,
    /// The buttons that run it.
    Run,
    /// Moving the part.
    Nudge,
    /// The readings table.
    Readings,
    /// The coach.
    Coach,
}

/// Why a lesson file cannot be used.
#[derive(Debug, Error)]
pub enum LessonError {
    /// It is not TOML, or a key is missing, unknown or of the wrong kind.
    #[error("{}{what}", place(*.line, *.column))]
    Format {
        /// Line, from 1, where it is known.
        line: Option<usize>,
        /// Column, from 1, where it is known.
        column: Option<usize>,
        /// What was expected and what stands there.
        what: String,
    },
    /// It was written for a later version.
    #[error("key `format_version`: expected {LESSON_VERSION}, and found {0}")]
    OtherVersion(u32),
    /// There is no such part.
    #[error("key `part`: expected one of {known}, and found {found:?}")]
    NoSuchPart {
        /// What stands there.
        found: String,
        /// What may stand there.
        known: String,
    },
    /// It has no stages.
    #[error("key `stages`: expected at least one stage, and found none")]
    NoStages,
    /// A text that a learner needs is empty.
    #[error("stage {stage} ({title:?}), key `{key}`: expected words, and found none")]
    EmptyText {
        /// Number of the stage, from 1.
        stage: usize,
        /// Its title.
        title: String,
        /// Which text.
        key: &'static str,
    },
    /// It names a rule that does not exist.
    #[error("{place}: there is no rule named {rule:?}")]
    NoSuchRule {
        /// Where.
        place: String,
        /// The name.
        rule: String,
    },
    /// Its start cannot be set up.
    #[error("the start of the lesson cannot be set up: {0}")]
    Start(ActionError),
}

fn place(line: Option<usize>, column: Option<usize>) -> String {
    match (line, column) {
        (Some(l), Some(c)) => format!("line {l}, column {c}: "),
        _ => String::new(),
    }
}

impl Lesson {
    /// Reads a lesson and checks what can be checked without playing it.
    ///
    /// # Errors
    /// The first thing in it that is not as the format asks.
    pub fn from_toml(text: &str) -> Result<Self, LessonError> {
        let lesson: Self = toml::from_str(text).map_err(|e| {
            let at = e.span().map(|s| line_and_column(text, s.start));
            LessonError::Format {
                line: at.map(|p| p.0),
                column: at.map(|p| p.1),
                what: e.message().lines().collect::<Vec<_>>().join(" "),
            }
        })?;
        lesson.check()?;
        Ok(lesson)
    }

    fn check(&self) -> Result<(), LessonError> {
        if self.format_version != LESSON_VERSION {
            return Err(LessonError::OtherVersion(self.format_version));
        }
        self.part()?;
        if self.stages.is_empty() {
            return Err(LessonError::NoStages);
        }
        for (i, stage) in self.stages.iter().enumerate() {
            let texts = [
                ("title", &stage.title),
                ("say", &stage.say),
                ("well_done", &stage.well_done),
                ("hints", &stage.hints[0]),
                ("hints", &stage.hints[1]),
                ("hints", &stage.hints[2]),
            ];
            if let Some((key, _)) = texts.iter().find(|(_, text)| text.trim().is_empty()) {
                let title = stage.title.clone();
                return Err(LessonError::EmptyText { stage: i + 1, title, key });
            }
            for rule in stage.goal.rules() {
                known_rule(rule, || format!("stage {}, key `goal`", i + 1))?;
            }
        }
        for rule in &self.rules {
            known_rule(rule, || "key `rules`".into())?;
        }
        self.start().map(|_| ())
    }

    fn part(&self) -> Result<Part, LessonError> {
        part_by_name(&self.part).ok_or_else(|| LessonError::NoSuchPart {
            found: self.part.clone(),
            known: crate::cell::parts()
                .iter()
                .map(|p| p.name.clone())
                .collect::<Vec<_>>()
                .join(", "),
        })
    }

    /// A session at the start of the lesson.
    ///
    /// # Errors
    /// If its part, routine, place or faults cannot be set up.
    pub fn start(&self) -> Result<Session, LessonError> {
        let mut header = Header::new(self.part()?, self.seed);
        header.lesson = Some(self.name.clone());
        let mut actions = Vec::new();
        if self.routine != Routine::default() {
            actions.push(Action::LoadRoutine { routine: self.routine.clone() });
        }
        if self.place != PoseFile::default() {
            actions.push(Action::PlacePart { part: self.place });
        }
        actions.extend(self.faults.iter().map(|f| Action::Plant { fault: f.clone() }));
        Session::replay(header, actions).map_err(|(_, e)| LessonError::Start(e))
    }
}

fn known_rule(rule: &str, place: impl Fn() -> String) -> Result<(), LessonError> {
    match crate::coach::rule(rule) {
        Some(_) => Ok(()),
        None => Err(LessonError::NoSuchRule { place: place(), rule: rule.into() }),
    }
}

fn line_and_column(text: &str, byte: usize) -> (usize, usize) {
    let before = text.get(..byte).unwrap_or(text);
    let line_start = before.rfind('\n').map_or(0, |i| i + 1);
    (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
}
