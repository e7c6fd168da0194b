//! One thing to grade.

use crate::files::read_text;
use crate::output::Problem;
use std::path::PathBuf;

/// One session or record, or statements, or what cannot be any.
pub(super) struct Source {
    /// Name of the file below the folder, "line 3", or "page 3" of a store's answers.
    pub(super) name: String,
    /// Why it is left out, if it cannot be read at all.
    pub(super) text: Result<Text, Problem>,
}

/// A text that is there, or a file of so many bytes to read it from.
pub(super) enum Text {
    Here(String),
    File(PathBuf, u64),
}

impl Text {
    pub(super) fn get(self) -> Result<String, Problem> {
        match self {
            Self::Here(text) => Ok(text),
            Self::File(path, _) => read_text(&path, "a session, a record or statements"),
        }
    }

    /// How much of it is held, or will be.
    pub(super) fn bytes(&self) -> u64 {
        match self {
            Self::Here(text) => text.len() as u64,
            Self::File(_, bytes) => *bytes,
        }
    }
}
