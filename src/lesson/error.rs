use super::file::LESSON_VERSION;
use crate::session::ActionError;
use thiserror::Error;

/// Why a lesson file cannot be used.
#[derive(Debug, Error)]
pub enum LessonError {
    /// A key is missing, unknown or of the wrong kind, or it is not a data file at all.
    #[error(transparent)]
    Format(#[from] crate::data::TextError),
    /// It was written for a later version.
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
    /// It has no stages.
    #[error("key `stages`: expected at least one stage, and found none")]
    NoStages,
    /// A drill without anything to plant.
    #[error("key `causes`: expected at least one cause in a drill, and found none")]
    NoCauses,
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
    /// A text asks for something that the lesson does not have.
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
    /// It names a rule that does not exist.
    #[error("{place}: there is no rule named {rule:?}")]
    NoSuchRule {
        /// Where.
        place: String,
        /// The name.
        rule: String,
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
    /// A stage that can never be done.
    #[error("stage {stage}: expected a `goal` or an `ask`, and found neither")]
    NoGoal {
        /// Number of the stage, from 1.
        stage: usize,
    },
    /// A mistake that cannot be made with this part.
    #[error("key `start.mistakes`: {rule:?} cannot be made with the part {part}")]
    Mistake {
        /// The rule.
        rule: String,
        /// The part.
        part: String,
    },
    /// No draw of its faults shows anything.
    #[error("key `causes`: with seed {seed} no fault that was drawn shows in the runs")]
    NoSymptom {
        /// The seed.
        seed: u64,
    },
    /// Its start cannot be set up.
    #[error("the start of the lesson cannot be set up: {0}")]
    Start(ActionError),
}

pub(super) fn known_rule(rule: &str, place: impl Fn() -> String) -> Result<(), LessonError> {
    match crate::coach::rule(rule) {
        Some(_) => Ok(()),
        None => Err(LessonError::NoSuchRule { place: place(), rule: rule.into() }),
    }
}
