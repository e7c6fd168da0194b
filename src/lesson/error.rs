use super::file::LESSON_VERSION;
use crate::cell::PartError;
use crate::coach::RuleName;
use crate::io::limits::OverLimit;
use crate::io::toml_position;
use crate::session::{ActionError, StudyError};
use thiserror::Error;

/// Why a lesson file cannot be used.
#[derive(Debug, Error)]
pub enum LessonError {
    /// A key is missing, unknown or of the wrong kind, or it is not a data file at all.
    #[error(transparent)]
    Format(#[from] crate::io::TextError),
    /// Something else, and where it stands in the file.
    #[error("line {line}, column {column}: {error}")]
    At {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What is wrong.
        error: Box<LessonError>,
    },
    /// It was written for another version.
    #[error("key `format_version`: expected {LESSON_VERSION}, and found {0}")]
    OtherVersion(u32),
    /// There is no such part.
    #[error("key `{key}`: expected one of {known}, and found {found:?}")]
    NoSuchPart {
        /// Where.
        key: &'static str,
        /// What stands there.
        found: String,
        /// What may stand there.
        known: String,
    },
    /// A part that comes with it cannot be used.
    #[error("own part {number}: {why}")]
    OwnPart {
        /// Number of the part, from 1.
        number: usize,
        /// Why.
        why: PartError,
    },
    /// A part that comes with it has the name of a part of the program.
    #[error(
        "own part {number}, key `name`: expected a name that no part of the program has, and found {found:?}"
    )]
    OwnPartName {
        /// Number of the part, from 1.
        number: usize,
        /// What stands there.
        found: String,
    },
    /// It has no stages.
    #[error("key `stages`: expected at least one stage, and found none")]
    NoStages,
    /// A drill without anything to plant.
    #[error("key `causes`: expected at least one cause in a drill, and found none")]
    NoCauses,
    /// A text for the learner is empty.
    #[error("stage {stage} ({title:?}), key `{key}`: expected words, and found none")]
    EmptyText {
        /// Number of the stage, from 1.
        stage: usize,
        /// Its title.
        title: String,
        /// Which text.
        key: &'static str,
    },
    /// It holds more than it may: stages, or letters of a text.
    #[error("{}key `{key}`: {over}", stage.map_or_else(String::new, |n| format!("stage {n}, ")))]
    TooMuch {
        /// Number of the stage, from 1, if it is in one.
        stage: Option<usize>,
        /// Where.
        key: &'static str,
        /// The limit and what was found.
        over: OverLimit,
    },
    /// A text has a name in braces that does not exist.
    #[error(
        "stage {stage}, key `{key}`: expected a name such as {{touch1}} in braces, and found {{{found}}}"
    )]
    NoSuchValue {
        /// Number of the stage, from 1.
        stage: usize,
        /// Which text.
        key: &'static str,
        /// What stands between the braces.
        found: String,
    },
    /// It names a skill that does not exist.
    #[error("stage {stage}, key `skill`: expected one of {known}, and found {found:?}")]
    NoSuchSkill {
        /// Number of the stage, from 1.
        stage: usize,
        /// What stands there.
        found: String,
        /// What may stand there.
        known: String,
    },
    /// A question without choices.
    #[error("stage {stage}, key `ask`: expected at least two different choices")]
    Choices {
        /// Number of the stage, from 1.
        stage: usize,
    },
    /// A reason for something that is no answer.
    #[error(
        "stage {stage}, key `ask.because`: expected one of {known} or else, and found {found:?}"
    )]
    NoSuchAnswer {
        /// Number of the stage, from 1.
        stage: usize,
        /// What stands there.
        found: String,
        /// What may stand there.
        known: String,
    },
    /// The draws do not have the same words.
    #[error(
        "key `start.draws`: expected the same words in every draw, and found {found:?} in some"
    )]
    DrawWords {
        /// A word that only some have.
        found: String,
    },
    /// A word of a draw has a name in braces that does not exist.
    #[error(
        "key `start.draws`: expected a name such as {{touch1}} in braces, and found {{{found}}}"
    )]
    NoSuchDrawValue {
        /// What stands between the braces.
        found: String,
    },
    /// A text tells what was drawn before it is asked for.
    #[error(
        "stage {stage}, key `{key}`: expected nothing of the draw before its prediction is made, and found {{{found}}}"
    )]
    DrawTold {
        /// Number of the stage, from 1.
        stage: usize,
        /// Which text.
        key: &'static str,
        /// The word of the draw.
        found: String,
    },
    /// A stage that can never be done.
    #[error("stage {stage}: expected a `goal` or an `ask`, and found neither")]
    NoGoal {
        /// Number of the stage, from 1.
        stage: usize,
    },
    /// A mistake that cannot be made with this part.
    #[error("key `start.mistakes`: {rule} cannot be made with the part {part}")]
    Mistake {
        /// The rule.
        rule: RuleName,
        /// The part.
        part: String,
    },
    /// No fault drawn for a drill shows in its runs.
    #[error("key `causes`: with seed {seed} no fault that was drawn shows in the runs")]
    NoSymptom {
        /// The seed.
        seed: u64,
    },
    /// A lesson about a shift whose start has none to begin.
    #[error("key `start`: the shift cannot begin: {0}")]
    Shift(StudyError),
    /// In no shift that was drawn anything goes wrong.
    #[error("with seed {seed} nothing goes wrong in the shifts that were drawn")]
    NoTrouble {
        /// The seed.
        seed: u64,
    },
    /// A stage of a shift with a skill.
    #[error(
        "stage {stage}, key `skill`: expected none in a lesson about a shift, whose stages cannot come back alone"
    )]
    SkillInShift {
        /// Number of the stage, from 1.
        stage: usize,
    },
    /// Its start cannot be set up.
    #[error("the start of the lesson cannot be set up: {0}")]
    Start(ActionError),
}

impl LessonError {
    /// The same with line and column, if the error is about a value of the file.
    pub(super) fn at_position(self, text: &str) -> Self {
        match self.path().and_then(|path| toml_position(text, &path)) {
            Some((line, column)) => Self::At { line, column, error: Box::new(self) },
            None => self,
        }
    }

    /// Path of the value with the error, such as `stages[2].say`.
    fn path(&self) -> Option<String> {
        let in_stage = |stage: &usize, key: &str| format!("stages[{}].{key}", stage - 1);
        Some(match self {
            Self::Format(_)
            | Self::At { .. }
            | Self::NoSymptom { .. }
            | Self::NoTrouble { .. }
            | Self::Start(_) => {
                return None;
            }
            Self::Shift(_) => "start".into(),
            Self::OtherVersion(_) => "format_version".into(),
            Self::NoSuchPart { key, .. } | Self::TooMuch { stage: None, key, .. } => (*key).into(),
            Self::OwnPart { number, .. } => format!("own_parts[{}]", number - 1),
            Self::OwnPartName { number, .. } => format!("own_parts[{}].name", number - 1),
            Self::NoStages => "stages".into(),
            Self::NoCauses => "causes".into(),
            Self::Mistake { .. } => "start.mistakes".into(),
            Self::EmptyText { stage, key, .. }
            | Self::NoSuchValue { stage, key, .. }
            | Self::TooMuch { stage: Some(stage), key, .. }
            | Self::DrawTold { stage, key, .. } => in_stage(stage, key),
            Self::NoSuchSkill { stage, .. } | Self::SkillInShift { stage } => {
                in_stage(stage, "skill")
            }
            Self::NoSuchAnswer { stage, .. } => in_stage(stage, "ask.because"),
            Self::DrawWords { .. } | Self::NoSuchDrawValue { .. } => "start.draws".into(),
            Self::Choices { stage } => in_stage(stage, "ask"),
            Self::NoGoal { stage } => in_stage(stage, ""),
        })
    }
}
