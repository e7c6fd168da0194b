//! Records of attempts at lessons, and their file.

use super::calibration::Calibration;
use super::file::LessonKind;
use super::lesson::Lesson;
use super::score::PASS_SCORE;
use crate::coach::{self, Attempt, RuleName};
use crate::io::limits::{NAME, OverLimit, RECORDS};
use crate::io::{TextError, from_json, shortened, to_csv, to_json};
use crate::session::Session;
use crate::shift::ShiftTally;
use serde::de::{Error as _, Unexpected};
use serde::{Deserialize, Deserializer, Serialize};
use thiserror::Error;

/// The record of one attempt at a lesson, a drill or an item of a refresher.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LessonRecord {
    /// The day, counted from any fixed day, the same for all records.
    pub day: u32,
    /// Name of the lesson; an item of a refresher is `lesson#stage`.
    pub lesson: String,
    /// Its seed.
    pub seed: u64,
    /// Points out of 100.
    #[serde(deserialize_with = "points")]
    pub score: u8,
    /// The greatest seam miss of the last run that welded, across, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub miss_mm: Option<f64>,
    /// Its predictions, by how sure the learner was.
    #[serde(default, skip_serializing_if = "Calibration::is_empty")]
    pub predictions: Calibration,
    /// In a drill: whether the first cause named was the right one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first_try: Option<bool>,
    /// How many times the learner looked at the cell to find out what is wrong.
    #[serde(default)]
    pub looks: usize,
    /// What a shift came to, in a lesson about one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shift: Option<ShiftTally>,
    /// How many hints were asked for.
    #[serde(default)]
    pub hints: usize,
    /// Whose house rules it was judged by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub house_rules: Option<String>,
    /// What the coach needs to judge the skills.
    pub attempt: Attempt,
}

/// Points out of 100.
fn points<'de, D: Deserializer<'de>>(from: D) -> Result<u8, D::Error> {
    let points = u8::deserialize(from)?;
    if points <= 100 {
        return Ok(points);
    }
    let found = Unexpected::Unsigned(points.into());
    Err(D::Error::invalid_value(found, &"a whole number from 0 to 100"))
}

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
    /// A key is missing, unknown or of the wrong kind.
    #[error(transparent)]
    Text(TextError),
    /// It holds more records than it may.
    #[error("key `records`: {0}")]
    TooMany(OverLimit),
    /// The name of the learner is too long.
    #[error("key `learner`: {0}")]
    LongName(OverLimit),
    /// It is another kind of file.
    #[error("key `format`: expected {FORMAT:?}, and found {0:?}", FORMAT = RecordBook::FORMAT)]
    OtherFormat(String),
    /// It was written by a later version.
    #[error("key `format_version`: expected {VERSION}, and found {0}")]
    OtherVersion(u64),
}

impl From<TextError> for RecordError {
    fn from(e: TextError) -> Self {
        let TextError { line, column, .. } = e;
        if e.syntax { Self::NotJson { line, column } } else { Self::Text(e) }
    }
}

/// The keys that are read first.
#[derive(Deserialize)]
struct Head {
    format: String,
    format_version: u64,
}

/// The records of a learner.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RecordBook {
    /// The learner's name as typed, if there is one.
    pub learner: Option<String>,
    /// The records, the oldest first.
    pub records: Vec<LessonRecord>,
}

/// A whole file of records.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct RecordFile {
    format: String,
    format_version: u64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    learner: Option<String>,
    records: Vec<LessonRecord>,
}

impl LessonRecord {
    /// The record of an attempt in its current state; `day` is today.
    pub fn of(lesson: &Lesson, session: &Session, day: u32) -> Self {
        let score = lesson.score(session).total;
        let mut attempt = Attempt::of(session, &coach::review(session));
        let broken = lesson.broken(session);
        attempt.findings.retain(|rule| broken.iter().any(|(b, _)| b.to_string() == *rule));
        attempt.landed = score >= PASS_SCORE;
        attempt.faults = lesson.kind == LessonKind::Drill;
        // A level 3 hint shows the answer, so the learner has not shown the skill.
        let shown = |n: &usize| lesson.hints_shown(session, *n) >= 3;
        let stages = (0..lesson.stages.len()).filter(shown).map(|n| &lesson.stages[n]);
        attempt.aided.retain(|rule| rule.parse::<RuleName>().is_ok());
        attempt.aided.extend(stages.filter_map(|s| s.skill.clone()));
        let predictions = lesson.calibration(&lesson.answers(session));
        let first_try = lesson.causes_at_first_try(session);
        let (hints, looks) = (session.state().hints.len(), session.state().looks.len());
        let welded = session.state().runs.iter().rev().find_map(|run| run.worst_miss());
        let shift = lesson.shift(session).map(|shift| shift.tally());
        let (lesson, seed) = (lesson.name.clone(), lesson.seed);
        // In a shift the reference run has the only weld of the session.
        let miss_mm = welded.map(round).filter(|_| shift.is_none());
        let house_rules = session.header().house_rules.as_ref().map(|house| house.name.clone());
        Self {
            day,
            lesson,
            seed,
            score,
            miss_mm,
            predictions,
            first_try,
            looks,
            shift,
            hints,
            house_rules,
            attempt,
        }
    }

    /// Its row in a table, under [`HEADS`].
    fn cells(&self) -> Vec<String> {
        let or_empty = |v: Option<String>| v.unwrap_or_default();
        let mut cells = vec![
            self.day.to_string(),
            self.lesson.clone(),
            self.seed.to_string(),
            self.score.to_string(),
            or_empty(self.miss_mm.map(|mm| mm.to_string())),
            self.hints.to_string(),
            or_empty(self.first_try.map(|right| right.to_string())),
            self.looks.to_string(),
            or_empty(self.shift.map(|shift| shift.alarms.to_string())),
            or_empty(self.shift.map(|shift| shift.decisions_at_alarms.to_string())),
        ];
        cells.extend(self.predictions.cells().map(|count| count.to_string()));
        cells.push(self.attempt.findings.join("; "));
        cells
    }

    /// Whether both are of the same attempt.
    pub fn same_attempt(&self, other: &Self) -> bool {
        self.lesson == other.lesson && self.seed == other.seed
    }
}

/// Rounds to 0.01 mm, as the sheet does.
fn round(mm: f64) -> f64 {
    (mm * 100.0).round() / 100.0
}

/// Adds the records of attempts that are not there yet. Of each attempt the first record stays: the
/// second time, the answers are known.
pub fn merge(records: &mut Vec<LessonRecord>, more: impl IntoIterator<Item = LessonRecord>) {
    for record in more {
        if !records.iter().any(|r| r.same_attempt(&record)) {
            records.push(record);
        }
    }
}

impl RecordBook {
    /// What the first key of its file says.
    pub const FORMAT: &str = "nudgeproof-records";

    /// Records without a name.
    pub fn of(records: &[LessonRecord]) -> Self {
        Self { learner: None, records: records.to_vec() }
    }

    /// Writes it as a file.
    pub fn to_json(self) -> String {
        let Self { learner, records } = self;
        to_json(&RecordFile {
            format: Self::FORMAT.into(),
            format_version: VERSION,
            learner,
            records,
        })
    }

    /// Reads its file.
    ///
    /// # Errors
    /// The first thing that does not fit the format.
    pub fn from_json(text: &str) -> Result<Self, RecordError> {
        let head: Head = from_json(text)?;
        if head.format != Self::FORMAT {
            return Err(RecordError::OtherFormat(shortened(&head.format)));
        }
        if head.format_version != VERSION {
            return Err(RecordError::OtherVersion(head.format_version));
        }
        let RecordFile { learner, records, .. } = from_json(text)?;
        RECORDS.check(records.len()).map_err(RecordError::TooMany)?;
        let name = learner.as_deref().unwrap_or_default();
        NAME.check_text(name).map_err(RecordError::LongName)?;
        Ok(Self { learner, records })
    }
}

/// The heads of the table of [`records_to_csv`] before those of predictions, and the last one.
const HEADS: [&str; 10] = [
    "day",
    "lesson",
    "seed",
    "score",
    "miss_mm",
    "hints",
    "causes_at_first_try",
    "looks",
    "alarms",
    "decisions_at_alarms",
];
const LAST_HEAD: &str = "findings";

/// Writes records as comma-separated values (RFC 4180), a row for each attempt.
pub fn records_to_csv(records: &[LessonRecord]) -> String {
    let head = HEADS.map(str::to_owned).into_iter().chain(Calibration::heads());
    let head = head.chain([LAST_HEAD.to_owned()]).collect();
    to_csv(std::iter::once(head).chain(records.iter().map(LessonRecord::cells)))
}
