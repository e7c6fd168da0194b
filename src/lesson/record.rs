//! What is kept of attempts at lessons, and the file it is kept in.

use super::file::LessonKind;
use super::lesson::Lesson;
use crate::coach::{self, Attempt};
use crate::data::{FromData, record, to_text};
use crate::session::Session;
use serde::Serialize;
use serde_json::Value;
use thiserror::Error;

/// What is kept of one attempt at a lesson, a drill or an item of a refresher.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LessonRecord {
    /// The day, counted from any fixed day, the same for all records.
    pub day: u32,
    /// Name of the lesson; an item of a refresher is `lesson#stage`.
    pub lesson: String,
    /// Its seed.
    pub seed: u64,
    /// Points out of 100.
    pub score: u8,
    /// The greatest seam miss of the last run that welded, across, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub miss_mm: Option<f64>,
    /// What the coach keeps of it.
    pub attempt: Attempt,
}

record!(LessonRecord { day, lesson, seed, score, miss_mm: None, attempt });

/// At least this many points are a pass.
pub const PASS_SCORE: u8 = 80;
/// What the first key of a file of records says.
const FORMAT: &str = "nudgeproof-records";
const VERSION: u64 = 1;

/// Why a file of records cannot be used.
#[derive(Debug, Error)]
pub enum RecordError {
    /// It is not JSON.
    #[error("line {line}, column {column}: expected JSON")]
    NotJson {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
    },
    /// It is another kind of file.
    #[error("key `format`: expected {FORMAT:?}")]
    OtherFormat,
    /// It was written by a later version.
    #[error("key `format_version`: expected {VERSION}")]
    OtherVersion,
    /// One of the records is not one.
    #[error("record {number}: {what}")]
    Record {
        /// Its number, from 1; 0 if there is no list of them.
        number: usize,
        /// What is wrong.
        what: String,
    },
}

impl LessonRecord {
    /// Of an attempt as it stands; `day` is today.
    pub fn of(lesson: &Lesson, session: &Session, day: u32) -> Self {
        let score = lesson.score(session).total;
        let mut attempt = Attempt::of(session, &coach::review(session));
        let broken = lesson.broken(session);
        attempt.findings.retain(|rule| broken.iter().any(|(b, _)| b == rule));
        attempt.landed = score >= PASS_SCORE;
        attempt.faults = lesson.kind == LessonKind::Drill;
        // Where a lesson showed the answer, the skill has not been shown.
        let shown = |n: &usize| lesson.hints_shown(session, *n) >= 3;
        let stages = (0..lesson.stages.len()).filter(shown).map(|n| &lesson.stages[n]);
        attempt.aided.retain(|rule| coach::rule(rule).is_some());
        attempt.aided.extend(stages.filter_map(|s| s.skill.clone()));
        let welded = session.state().runs.iter().rev().find_map(|run| run.worst_miss());
        let (lesson, seed) = (lesson.name.clone(), lesson.seed);
        Self { day, lesson, seed, score, miss_mm: welded.map(round), attempt }
    }

    /// Whether it is of the same attempt.
    pub fn same_attempt(&self, other: &Self) -> bool {
        self.lesson == other.lesson && self.seed == other.seed
    }
}

/// Hundredths of a millimetre: what the sheet shows.
fn round(mm: f64) -> f64 {
    (mm * 100.0).round() / 100.0
}

/// Adds what is new among `more`: of an attempt the first record stays, since an answer that is
/// known is no answer.
pub fn merge(records: &mut Vec<LessonRecord>, more: impl IntoIterator<Item = LessonRecord>) {
    for record in more {
        if !records.iter().any(|r| r.same_attempt(&record)) {
            records.push(record);
        }
    }
}

/// Writes records as a file.
pub fn records_to_json(records: &[LessonRecord]) -> String {
    let all = serde_json::to_value(records).unwrap_or_default();
    let file = serde_json::json!({ "format": FORMAT, "format_version": VERSION, "records": all });
    to_text(&file)
}

/// Reads a file of records.
///
/// # Errors
/// The first thing in it that is not as the format asks.
pub fn records_from_json(text: &str) -> Result<Vec<LessonRecord>, RecordError> {
    let mut file: Value = serde_json::from_str(text)
        .map_err(|e| RecordError::NotJson { line: e.line(), column: e.column() })?;
    if file["format"] != FORMAT {
        return Err(RecordError::OtherFormat);
    }
    if file["format_version"] != VERSION {
        return Err(RecordError::OtherVersion);
    }
    let Value::Array(all) = file["records"].take() else {
        return Err(RecordError::Record { number: 0, what: "expected a list of records".into() });
    };
    let one = |(i, value)| {
        LessonRecord::from_data(value)
            .map_err(|e| RecordError::Record { number: i + 1, what: e.to_string() })
    };
    all.into_iter().enumerate().map(one).collect()
}
