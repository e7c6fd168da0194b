use super::action::Action;
use super::error::ActionError;
use super::header::Header;
use super::history::Session;
use super::house_rules::{HouseRules, HouseRulesError};
use crate::cell::{CellSettings, Part, part_by_name};
use crate::io::limits::{ACTIONS, OverLimit};
use crate::io::{TextError, from_json, shortened, to_json};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use std::sync::Arc;
use thiserror::Error;

/// What the first key of a session file says.
pub const SESSION_FORMAT: &str = "nudgeproof-session";
/// The version of the format that this program writes and reads.
pub const SESSION_VERSION: u32 = 2;

/// Why a session file cannot be used: each names the place and what was expected.
#[derive(Debug, Error)]
pub enum SessionError {
    /// It is not JSON.
    #[error("line {line}, column {column}: expected JSON, here {expected}")]
    NotJson {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What was expected there, and what was found.
        expected: String,
    },
    /// It is JSON, but a key of the file itself is missing or has the wrong kind of value.
    #[error("top level: {0}")]
    Header(String),
    /// It is another kind of file.
    #[error("key `format`: expected \"nudgeproof-session\", and found {0:?}")]
    OtherFormat(String),
    /// It was written by another version.
    #[error("key `format_version`: expected {SESSION_VERSION}, and found {0}")]
    OtherVersion(u32),
    /// The part is not one that comes with the program.
    #[error("key `part`: there is no part named {0:?}; expected {1}, or a whole part")]
    NoSuchPart(String, String),
    /// The part given in full is not a part.
    #[error("key `part`: {0}")]
    BadPart(String),
    /// The house rules make no sense.
    #[error("key `house_rules`: {0}")]
    HouseRules(HouseRulesError),
    /// There are more actions than a session may hold.
    #[error("key `actions`: {0}")]
    TooManyActions(OverLimit),
    /// One of the actions cannot be read.
    #[error("action {number}{name}: {what}")]
    BadAction {
        /// Its number, from 1.
        number: usize,
        /// Its name in brackets, if it has one.
        name: String,
        /// What is wrong.
        what: String,
    },
    /// One of the actions cannot be done at that point of the session.
    #[error("action {number} ({name}): {why}")]
    CannotDo {
        /// Its number, from 1.
        number: usize,
        /// Its name.
        name: &'static str,
        /// Why.
        why: ActionError,
    },
    /// The cell cannot be set up.
    #[error("the part cannot be set up: {0}")]
    Cell(ActionError),
}

impl SessionError {
    /// The number of the action that is wrong, from 1, where one is.
    pub(super) fn action(&self) -> Option<usize> {
        match self {
            Self::BadAction { number, .. } | Self::CannotDo { number, .. } => Some(*number),
            _ => None,
        }
    }
}

/// A session file as it is read: part and actions as the text they are.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File<'a> {
    format: String,
    format_version: u32,
    #[serde(borrow)]
    part: &'a RawValue,
    #[serde(default)]
    seed: u64,
    #[serde(default)]
    settings: CellSettings,
    #[serde(default)]
    lesson: Option<String>,
    #[serde(default)]
    learner: Option<String>,
    #[serde(default)]
    house_rules: Option<HouseRules>,
    #[serde(borrow, default)]
    actions: Vec<&'a RawValue>,
}

/// A session file as it is written.
#[derive(Serialize)]
struct WrittenFile<'a> {
    format: &'static str,
    format_version: u32,
    part: WrittenPart<'a>,
    seed: u64,
    settings: CellSettings,
    #[serde(skip_serializing_if = "Option::is_none")]
    lesson: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    learner: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    house_rules: Option<&'a HouseRules>,
    /// None: their texts are put in afterwards.
    actions: [(); 0],
}

/// A built-in part by its name, any other in full.
#[derive(Serialize)]
#[serde(untagged)]
enum WrittenPart<'a> {
    BuiltIn(&'a str),
    Full(&'a Part),
}

impl Session {
    /// Reads a session file and replays it.
    ///
    /// # Errors
    /// At the first thing that is not as the format asks, or that cannot be done.
    pub fn from_json(text: &str) -> Result<Self, SessionError> {
        let file: File = from_json(text).map_err(|e| match e {
            TextError { syntax: true, line, column, problem, .. } => {
                let expected = problem.strip_prefix("expected ").unwrap_or(&problem).to_owned();
                SessionError::NotJson { line, column, expected }
            }
            e => SessionError::Header(e.without_line()),
        })?;
        if file.format != SESSION_FORMAT {
            return Err(SessionError::OtherFormat(shortened(&file.format)));
        }
        if file.format_version != SESSION_VERSION {
            return Err(SessionError::OtherVersion(file.format_version));
        }
        ACTIONS.check(file.actions.len()).map_err(SessionError::TooManyActions)?;
        if let Some(rules) = &file.house_rules {
            rules.check().map_err(SessionError::HouseRules)?;
        }
        let header = Header {
            part: part(file.part)?,
            seed: file.seed,
            settings: file.settings,
            lesson: file.lesson,
            learner: file.learner,
            house_rules: file.house_rules.map(Arc::new),
        };
        let mut session = Self::new(header).map_err(SessionError::Cell)?;
        for (i, text) in file.actions.into_iter().enumerate() {
            let number = i + 1;
            let action = action(text, number)?;
            let name = action.name();
            session.act(action).map_err(|why| SessionError::CannotDo { number, name, why })?;
        }
        Ok(session)
    }

    /// Writes the session as a file: the actions in force, without those that were undone. The text
    /// of each action is kept, so that writing the session again after one more action only joins
    /// texts.
    pub fn to_json(&self) -> String {
        self.frame().around(self.texts(0, action_text))
    }

    /// The texts of the actions from `n` on, as they stand in a file.
    pub(super) fn action_texts(&self, n: usize) -> impl Iterator<Item = &str> {
        self.texts(n, action_text)
    }

    /// What stands before and after the actions in the file.
    pub(super) fn frame(&self) -> Frame {
        let Header { part, seed, settings, lesson, learner, house_rules } = self.header();
        let built_in = part_by_name(&part.name).is_some_and(|p| p == *part);
        let text = to_json(&WrittenFile {
            format: SESSION_FORMAT,
            format_version: SESSION_VERSION,
            part: if built_in { WrittenPart::BuiltIn(&part.name) } else { WrittenPart::Full(part) },
            seed: *seed,
            settings: *settings,
            lesson: lesson.as_deref(),
            learner: learner.as_deref(),
            house_rules: house_rules.as_deref(),
            actions: [],
        });
        // Quotes within a string are escaped, so this can only be the list itself.
        let (head, tail) = text.split_once(NO_ACTIONS).expect("the list is written empty");
        Frame { head: format!("{head}{ACTIONS_BEGIN}"), tail: format!("]{tail}") }
    }
}

/// A session file without its actions: what stands before the first of them, and what after the last.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Frame {
    pub(super) head: String,
    pub(super) tail: String,
}

impl Frame {
    /// The file with these actions in it.
    pub(super) fn around<'a>(&self, actions: impl Iterator<Item = &'a str>) -> String {
        let mut text = self.head.clone();
        let mut any = false;
        for action in actions {
            text.push_str(if any { ",\n    " } else { "\n    " });
            text.push_str(action);
            any = true;
        }
        text.push_str(if any { "\n  " } else { "" });
        text.push_str(&self.tail);
        text
    }
}

/// An empty list of actions in the text of a file, and how the list begins.
const NO_ACTIONS: &str = "\"actions\": []";
const ACTIONS_BEGIN: &str = "\"actions\": [";

/// An action as it stands in the list of a file, without the blanks before its first line. What was done
/// in secret is sealed, so that nobody who looks into the file reads it by chance.
fn action_text(action: &Action) -> String {
    let text = to_json(action);
    let text = if action.in_secret() {
        to_json(&Sealed { action: SEALED_ACTION.into(), of: STANDARD.encode(text) })
    } else {
        text
    };
    text.replace('\n', "\n    ")
}

/// The name of an action in secret as a file has it.
pub const SEALED_ACTION: &str = "sealed";

/// An action in secret as it is written.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Sealed {
    action: String,
    /// The action as JSON, in base64 (RFC 4648, section 4).
    of: String,
}

/// The part under the key `part`: a name, or all of it.
fn part(value: &RawValue) -> Result<Part, SessionError> {
    let bad = |e: TextError| SessionError::BadPart(e.without_line());
    if !value.get().starts_with('"') {
        return from_json(value.get()).map_err(bad);
    }
    let name: String = from_json(value.get()).map_err(bad)?;
    part_by_name(&name).ok_or_else(|| {
        let known: Vec<_> = crate::cell::parts().iter().map(|p| p.name.clone()).collect();
        SessionError::NoSuchPart(shortened(&name), known.join(", "))
    })
}

/// Reads one action, so that an error names its number, its name and the key.
fn action(value: &RawValue, number: usize) -> Result<Action, SessionError> {
    /// An action of any kind, for its name alone.
    #[derive(Deserialize)]
    struct Named {
        action: String,
    }
    let named: Option<Named> = serde_json::from_str(value.get()).ok();
    let name =
        named.as_ref().map_or_else(String::new, |named| format!(" ({})", shortened(&named.action)));
    let bad = |what: String| SessionError::BadAction { number, name: name.clone(), what };
    let told = |e: TextError| bad(e.without_line());
    if named.is_none_or(|named| named.action != SEALED_ACTION) {
        return from_json(value.get()).map_err(told);
    }
    let sealed: Sealed = from_json(value.get()).map_err(told)?;
    let text = STANDARD.decode(&sealed.of).ok().and_then(|bytes| String::from_utf8(bytes).ok());
    let text = text.ok_or_else(|| bad("of: expected an action in base64".into()))?;
    from_json(&text).map_err(told)
}
