use super::action::Action;
use super::apply::ActionError;
use super::history::{Header, Session};
use crate::cell::{CellSettings, Part, part_by_name};
use crate::data::{FromData, from_text, record, to_text};
use serde::Serialize;
use serde_json::Value;
use thiserror::Error;

/// What the first key of a session file says.
pub const SESSION_FORMAT: &str = "nudgeproof-session";
/// The version of the format that this program writes and reads.
pub const SESSION_VERSION: u32 = 1;

/// Why a session file cannot be used: each names the place and what was expected.
#[derive(Debug, Error)]
pub enum SessionError {
    /// It is not JSON.
    #[error("line {line}, column {column}: expected JSON, and found {found}")]
    NotJson {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What the reader says.
        found: String,
    },
    /// It is JSON, but a key of the file itself is missing or has the wrong kind of value.
    #[error("top level: {0}")]
    Header(String),
    /// It is another kind of file.
    #[error("key `format`: expected \"nudgeproof-session\", and found {0:?}")]
    OtherFormat(String),
    /// It was written by a later version.
    #[error("key `format_version`: expected {SESSION_VERSION}, and found {0}")]
    OtherVersion(u32),
    /// The part is not one that comes with the program.
    #[error("key `part`: there is no part named {0:?}; expected {1}, or a whole part")]
    NoSuchPart(String, String),
    /// The part given in full is not a part.
    #[error("key `part`: {0}")]
    BadPart(String),
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

#[derive(Serialize)]
struct File {
    format: String,
    format_version: u32,
    part: Value,
    seed: u64,
    settings: CellSettings,
    #[serde(skip_serializing_if = "Option::is_none")]
    lesson: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    learner: Option<String>,
    actions: Vec<Value>,
}

record!(File {
    format,
    format_version,
    part,
    seed: 0,
    settings: CellSettings::default(),
    lesson: None,
    learner: None,
    actions: Vec::new(),
});

impl Session {
    /// Reads a session file and replays it.
    ///
    /// # Errors
    /// The first thing in it that is not as the format asks, or that cannot be done.
    pub fn from_json(text: &str) -> Result<Self, SessionError> {
        let value: Value = from_text(text).map_err(|e| SessionError::NotJson {
            line: e.at.unwrap_or_default().0,
            column: e.at.unwrap_or_default().1,
            found: e.what,
        })?;
        let file: File =
            FromData::from_data(value).map_err(|e| SessionError::Header(e.to_string()))?;
        if file.format != SESSION_FORMAT {
            return Err(SessionError::OtherFormat(file.format));
        }
        if file.format_version != SESSION_VERSION {
            return Err(SessionError::OtherVersion(file.format_version));
        }
        let header = Header {
            part: part(file.part)?,
            seed: file.seed,
            settings: file.settings,
            lesson: file.lesson,
            learner: file.learner,
        };
        let mut session = Self::new(header).map_err(SessionError::Cell)?;
        for (i, value) in file.actions.into_iter().enumerate() {
            let number = i + 1;
            let action = action(value, number)?;
            let name = action.name();
            session.act(action).map_err(|why| SessionError::CannotDo { number, name, why })?;
        }
        Ok(session)
    }

    /// Writes the session as a file: what is in force, without what was undone.
    pub fn to_json(&self) -> String {
        let header = self.header();
        let built_in = part_by_name(&header.part.name).is_some_and(|p| p == header.part);
        let part = if built_in {
            Value::String(header.part.name.clone())
        } else {
            serde_json::to_value(&header.part).unwrap_or_default()
        };
        let actions =
            self.actions().iter().map(|a| serde_json::to_value(a).unwrap_or_default()).collect();
        let file = File {
            format: SESSION_FORMAT.into(),
            format_version: SESSION_VERSION,
            part,
            seed: header.seed,
            settings: header.settings,
            lesson: header.lesson.clone(),
            learner: header.learner.clone(),
            actions,
        };
        to_text(&file)
    }
}

fn part(value: Value) -> Result<Part, SessionError> {
    match value {
        Value::String(name) => part_by_name(&name).ok_or_else(|| {
            let known: Vec<_> = crate::cell::parts().iter().map(|p| p.name.clone()).collect();
            SessionError::NoSuchPart(name, known.join(", "))
        }),
        whole => FromData::from_data(whole).map_err(|e| SessionError::BadPart(e.to_string())),
    }
}

fn action(value: Value, number: usize) -> Result<Action, SessionError> {
    let name =
        value.get("action").and_then(Value::as_str).map_or_else(String::new, |n| format!(" ({n})"));
    FromData::from_data(value).map_err(|e| SessionError::BadAction {
        number,
        name,
        what: e.to_string(),
    })
}
