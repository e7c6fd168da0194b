//! What the page that the class sees and the instructor's window say to each other.

use crate::app::logic::class_setup::ClassSetup;
use serde::{Deserialize, Serialize};

/// A message; all windows of this page hear each.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Message {
    /// The page of the class that it goes to, or comes from.
    pub(super) class: String,
    pub(super) says: Says,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Says {
    /// The instructor's window asks for something; the answer is a status.
    Do(Command),
    /// How the page of the class stands now.
    Status(Status),
    /// The page of the class is closed, or loaded anew.
    Gone,
    /// A window takes itself for this page of the class.
    Claim { window: String },
    /// It is not: another one is.
    Taken { window: String },
}

/// What the instructor's window asks for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Command {
    /// Only how things stand.
    Status,
    /// Plant the fault of this name.
    Plant(String),
    MoveInSecret,
    TakeBack,
    Reveal,
    ClearFaults,
    NextPart,
    /// Open the set-up of a class.
    OpenSetup(ClassSetup),
    AskWhatIsWrong,
    CloseQuestion,
    /// One hand more for an answer, from 0.
    Count(usize),
    /// One hand less.
    Uncount(usize),
    CountAgain,
    ShowHands,
}

/// The open question and the hands counted for it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct QuestionStatus {
    pub(super) text: String,
    /// Each answer and its hands.
    pub(super) answers: Vec<(String, u32)>,
    /// The right answer, from 0, as far as it is known here.
    pub(super) right: Option<usize>,
    /// Whether hands are still counted.
    pub(super) open: bool,
    /// Whether the class sees the hands.
    pub(super) shown: bool,
    /// Whether it is the instructor's own and no lesson's.
    pub(super) own: bool,
}

/// How the page of the class stands, in its own words and units.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Status {
    /// What lies on the bench.
    pub(super) part: String,
    /// How the last run stands.
    pub(super) run: String,
    /// What is kept secret, each in words.
    pub(super) secrets: Vec<String>,
    /// The names of the faults that the part has a place for.
    pub(super) fits: Vec<String>,
    pub(super) question: Option<QuestionStatus>,
    /// What came of the last command.
    pub(super) done: String,
}

impl Message {
    /// The message of this text; `None` from a page of another version.
    pub(super) fn read(text: &str) -> Option<Self> {
        serde_json::from_str(text).ok()
    }

    pub(super) fn write(&self) -> String {
        serde_json::to_string(self).expect("a message has only texts for keys")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn messages_are_read_as_they_are_written() {
        let status = Status { secrets: vec!["a".into()], ..Status::default() };
        let says = [
            Says::Do(Command::Status),
            Says::Do(Command::Plant("wire-bent".into())),
            Says::Do(Command::NextPart),
            Says::Do(Command::Count(3)),
            Says::Status(status),
            Says::Gone,
            Says::Claim { window: "2".into() },
        ];
        for says in says {
            let message = Message { class: "1".into(), says };
            assert_eq!(Message::read(&message.write()), Some(message));
        }
    }

    #[test]
    fn what_is_no_message_is_none() {
        for text in
            ["", "{}", r#"{"class": "1", "says": "hello"}"#, r#"{"class": 1, "says": "gone"}"#]
        {
            assert_eq!(Message::read(text), None, "{text}");
        }
    }
}
