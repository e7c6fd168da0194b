//! A file of a class, read and judged: nothing of it depends on the other files, so that many can be
//! judged at a time.

use super::calibration::Calibration;
use super::catalogue::of_session;
use super::file::LessonKind;
use super::lesson::Lesson;
use super::record::{LessonRecord, RecordBook};
use crate::coach::{self, Attempt, Review};
use crate::io::from_json;
use crate::session::Session;
use crate::shift::ShiftTally;
use serde::Deserialize;

/// A file of a class, read and ready to be graded.
#[derive(Debug)]
pub enum ClassFile {
    /// A session.
    Session(Box<Session>),
    /// The record of a learner.
    Records(RecordBook),
}

impl ClassFile {
    /// Reads a session file or a record.
    ///
    /// # Errors
    /// What is wrong with it, in one sentence.
    pub fn read(text: &str) -> Result<Self, String> {
        /// The key that tells the kinds apart.
        #[derive(Deserialize)]
        struct Kind {
            format: String,
        }
        let is_record = from_json::<Kind>(text).is_ok_and(|kind| kind.format == RecordBook::FORMAT);
        if is_record {
            RecordBook::from_json(text).map(Self::Records).map_err(|e| e.to_string())
        } else {
            let session = Session::from_json(text).map_err(|e| e.to_string())?;
            Ok(Self::Session(Box::new(session)))
        }
    }
}

/// What a file says about its learner.
#[derive(Debug, Clone, PartialEq)]
pub struct GradedFile {
    /// Who it is of.
    pub(super) learner: String,
    /// The attempts it tells of, the oldest first.
    pub(super) attempts: Vec<GradedAttempt>,
    /// Whether they are records, which count only if nothing else tells of the same attempt.
    pub(super) records: bool,
}

/// One attempt of a learner.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct GradedAttempt {
    /// Points out of 100.
    pub(super) score: u8,
    pub(super) attempt: Attempt,
    /// The worst seam miss of the last run that found a place, mm.
    pub(super) miss_mm: Option<f64>,
    pub(super) hints: usize,
    pub(super) mends: usize,
    pub(super) predictions: Calibration,
    /// In a drill: whether the first cause named was the right one.
    pub(super) first_try: Option<bool>,
    /// How many times the learner looked at the cell to find out what is wrong.
    pub(super) looks: usize,
    /// What a shift came to, in a lesson about one.
    pub(super) shift: Option<ShiftTally>,
    /// Whose house rules it was judged by.
    pub(super) house: Option<String>,
    /// The attempt at a lesson, by lesson and seed.
    pub(super) of_lesson: Option<(String, u64)>,
}

impl GradedFile {
    /// Reads a session file or a record, and judges it. Its learner is the one it names, or else the name
    /// of the file.
    ///
    /// # Errors
    /// What is wrong with it, in one sentence.
    pub fn read(file: &str, text: &str) -> Result<Self, String> {
        Ok(match ClassFile::read(text)? {
            ClassFile::Session(session) => {
                Self::of_session(file, &session, &coach::review(&session))
            }
            ClassFile::Records(book) => Self::of_records(file, &book),
        })
    }

    /// A session with the coach's review of it.
    pub fn of_session(file: &str, session: &Session, review: &Review) -> Self {
        let learner = learner(session.header().learner.as_deref(), file);
        Self { learner, attempts: vec![graded(session, review)], records: false }
    }

    /// A learner's record.
    pub fn of_records(file: &str, book: &RecordBook) -> Self {
        let learner = learner(book.learner.as_deref(), file);
        Self { learner, attempts: book.records.iter().map(recorded).collect(), records: true }
    }
}

/// The name a file gives, or else its own without folders and ending.
fn learner(named: Option<&str>, file: &str) -> String {
    let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    named.map(str::trim).filter(|name| !name.is_empty()).unwrap_or(stem).to_owned()
}

fn graded(session: &Session, review: &Review) -> GradedAttempt {
    let (state, lesson) = (session.state(), of_session(session));
    // Of a shift the coach sees the reference run alone, and in a test the answer counts.
    let own_score = [LessonKind::Shift, LessonKind::Test];
    let of_shift = lesson.as_ref().filter(|l| own_score.contains(&l.kind));
    let score = of_shift.map_or(review.score.total, |l| l.score(session).total);
    let predictions = |l: &Lesson| l.calibration(&l.answers(session));
    let header = session.header();
    GradedAttempt {
        score,
        attempt: Attempt::of(session, review),
        // As on the record page.
        miss_mm: state.runs.iter().rfind(|r| r.found().is_some()).and_then(|r| r.worst_miss()),
        hints: state.hints.len(),
        mends: state.mended.len(),
        predictions: lesson.as_ref().map(predictions).unwrap_or_default(),
        first_try: lesson.as_ref().and_then(|l| l.causes_at_first_try(session)),
        looks: state.looks.len(),
        shift: lesson.and_then(|l| Some(l.shift(session)?.tally())),
        house: header.house_rules.as_ref().map(|house| house.name.clone()),
        of_lesson: header.lesson.clone().map(|lesson| (lesson, header.seed)),
    }
}

fn recorded(record: &LessonRecord) -> GradedAttempt {
    GradedAttempt {
        score: record.score,
        attempt: record.attempt.clone(),
        miss_mm: record.miss_mm,
        hints: record.hints,
        mends: 0,
        predictions: record.predictions,
        first_try: record.first_try,
        looks: record.looks,
        shift: record.shift,
        house: record.house_rules.clone(),
        of_lesson: Some((record.lesson.clone(), record.seed)),
    }
}
