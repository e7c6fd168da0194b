//! What is named as wrong with the cell, and what speaks for it: a reading of a run, or a look.

use crate::cell::{FAULT_NAMES, Look};
use crate::text::Sentence;
use serde::{Deserialize, Serialize};
use strum::{EnumIter, IntoEnumIterator, IntoStaticStr};

/// A cause that is named, and what speaks for it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NamedCause {
    /// The name of a fault, or [`NOTHING_WRONG`].
    pub cause: String,
    /// The evidence pointed at.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<Evidence>,
}

/// Everything that was named at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    /// The causes.
    pub causes: Vec<NamedCause>,
    /// How many runs had been made.
    pub runs: usize,
    /// Whether the wire was seen to be bent: as a fault, or as a consequence of another.
    pub wire_bent: bool,
}

/// Named where nothing is wrong with the cell.
pub const NOTHING_WRONG: &str = "nothing";

/// Something that speaks for a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Evidence {
    /// A reading of a run.
    Reading {
        /// Number of the run, from 1.
        run: usize,
        /// Which reading.
        what: Reading,
    },
    /// The last look there.
    Look(Look),
}

/// What a run reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, EnumIter, IntoStaticStr)]
#[serde(rename_all = "snake_case")]
#[strum(serialize_all = "snake_case")]
pub enum Reading {
    /// How well its touches agree.
    Agreement,
    /// The offset it found, against the runs before and the play.
    Offset,
    /// How far and how fast its searches went.
    Searches,
    /// Where it stopped, if it did not come to its last step.
    Stop,
}

/// A look, and what it showed.
#[derive(Debug, Clone, PartialEq)]
pub struct Looked {
    /// At what.
    pub at: Look,
    /// What was seen.
    pub saw: Vec<Sentence>,
    /// How many runs had been made.
    pub runs: usize,
}

impl Evidence {
    /// What a run reads, by its number from 1.
    pub fn of_run(run: usize) -> impl Iterator<Item = Self> {
        Reading::all().map(move |what| Self::Reading { run, what })
    }
}

impl Reading {
    /// All of them.
    pub fn all() -> impl Iterator<Item = Self> {
        Self::iter()
    }

    /// Its name in files.
    pub fn name(self) -> &'static str {
        self.into()
    }
}

impl NamedCause {
    /// Whether it is a cause that can be named.
    pub(super) fn is_known(&self) -> bool {
        self.cause == NOTHING_WRONG || FAULT_NAMES.contains(&self.cause.as_str())
    }
}
