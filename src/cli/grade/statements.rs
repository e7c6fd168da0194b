//! Statements of a learning record store (xAPI 1.0.3). Of those that the page has sent there by cmi5, each about an
//! attempt carries its record (`src/app/course_system/cmi5.js`); that is graded. All others are passed over.

use chrono::{DateTime, FixedOffset};
use nudgeproof::io::limits::NAME;
use nudgeproof::io::{TextError, from_json};
use nudgeproof::lesson::{GradedFile, LessonRecord, RecordBook};
use serde::Deserialize;
use serde::de::IgnoredAny;
use serde_json::value::RawValue;

/// When a store took a statement.
pub(super) type Stored = DateTime<FixedOffset>;

/// A statement about an attempt, or why it cannot be used.
pub(super) struct Told {
    /// Its place in the text, from 1.
    pub(super) number: usize,
    pub(super) attempt: Result<ToldAttempt, String>,
}

/// An attempt out of a statement.
pub(super) struct ToldAttempt {
    pub(super) file: GradedFile,
    pub(super) learner: String,
    pub(super) stored: Option<Stored>,
}

/// The keys that tell statements from sessions and records.
#[derive(Deserialize)]
struct Kind {
    statements: Option<IgnoredAny>,
    verb: Option<IgnoredAny>,
    format: Option<IgnoredAny>,
}

/// What a store answers to a query.
#[derive(Deserialize)]
pub(super) struct StatementResult<'a> {
    #[serde(borrow)]
    statements: Vec<&'a RawValue>,
    /// Where the rest is.
    pub(super) more: Option<String>,
}

#[derive(Deserialize)]
struct Statement<'a> {
    #[serde(borrow)]
    result: Option<Outcome<'a>>,
}

#[derive(Deserialize)]
struct Outcome<'a> {
    #[serde(borrow)]
    extensions: Option<Extensions<'a>>,
}

#[derive(Deserialize)]
struct Extensions<'a> {
    #[serde(borrow, rename = "urn:uuid:6f0c7b52-3a0e-4a56-9f7e-6a1f6f9f2b13")]
    record: Option<&'a RawValue>,
}

/// What is read of a statement about an attempt beside the record.
#[derive(Deserialize)]
struct About {
    actor: Actor,
    stored: Option<String>,
    timestamp: Option<String>,
}

#[derive(Deserialize)]
struct Actor {
    name: Option<String>,
    account: Option<Account>,
    mbox: Option<String>,
    mbox_sha1sum: Option<String>,
    openid: Option<String>,
}

#[derive(Deserialize)]
struct Account {
    name: String,
}

/// The attempts that a text of statements tells of, in the order in which the store took them: one statement, a
/// list of them, or the answer to a query. `None` if it is something else.
pub(super) fn read(text: &str) -> Option<Result<Vec<Told>, String>> {
    let all = if text.trim_start().starts_with('[') {
        from_json::<Vec<&RawValue>>(text)
    } else {
        match from_json::<Kind>(text).ok()? {
            Kind { format: Some(_), .. } => return None,
            Kind { statements: Some(_), .. } => {
                from_json(text).map(|r: StatementResult| r.statements)
            }
            Kind { verb: Some(_), .. } => from_json::<&RawValue>(text).map(|one| vec![one]),
            _ => return None,
        }
    };
    Some(all.map(|all| attempts(&all)).map_err(|e| whole(&e)))
}

/// What is wrong with a text as a whole.
fn whole(e: &TextError) -> String {
    if e.syntax {
        return format!(
            "line {}, column {}: expected JSON, here {}",
            e.line,
            e.column,
            e.problem.trim_start_matches("expected ")
        );
    }
    e.to_string()
}

/// Where the rest of an answer is; `None` if this is all of it.
pub(super) fn rest(answer: &str) -> Result<Option<String>, String> {
    let StatementResult { more, .. } = from_json(answer).map_err(|e| whole(&e))?;
    Ok(more.filter(|more| !more.is_empty()))
}

fn attempts(statements: &[&RawValue]) -> Vec<Told> {
    let told = |(at, statement): (usize, &&RawValue)| {
        let attempt = attempt(statement.get()).transpose()?;
        Some(Told { number: at + 1, attempt })
    };
    let mut all: Vec<_> = statements.iter().enumerate().filter_map(told).collect();
    // A store may answer with the newest first.
    all.sort_by_key(|told| told.attempt.as_ref().ok().and_then(|attempt| attempt.stored));
    all
}

/// The attempt that a statement is about; `None` if it is about something else.
fn attempt(statement: &str) -> Result<Option<ToldAttempt>, String> {
    let said = |e: TextError| e.without_line();
    let Statement { result } = from_json(statement).map_err(said)?;
    let record = result.and_then(|result| result.extensions).and_then(|more| more.record);
    let Some(record) = record else { return Ok(None) };
    let record: LessonRecord =
        from_json(record.get()).map_err(|e| format!("its record: {}", said(e)))?;
    let About { actor, stored, timestamp } = from_json(statement).map_err(said)?;
    let learner = actor.learner()?;
    let time = |text: String| {
        DateTime::parse_from_rfc3339(&text).map_err(|_| {
            "stored: expected a time such as 2026-05-04T09:30:00Z, and found something else"
                .to_owned()
        })
    };
    let stored = stored.or(timestamp).map(time).transpose()?;
    let book = RecordBook { learner: Some(learner.clone()), records: vec![record] };
    Ok(Some(ToldAttempt { file: GradedFile::of_records("", &book), learner, stored }))
}

impl Actor {
    /// Who it is: name and account, so that two of one name stay two.
    fn learner(self) -> Result<String, String> {
        let address = self.mbox.map(|mbox| mbox.trim_start_matches("mailto:").to_owned());
        let account = self.account.map(|account| account.name);
        let id = account.or(address).or(self.openid).or(self.mbox_sha1sum);
        let id = id.map(|id| id.trim().to_owned()).filter(|id| !id.is_empty());
        let id =
            id.ok_or("actor: expected an account, mbox, openid or mbox_sha1sum, and found none")?;
        let name = self.name.map(|name| name.trim().to_owned()).filter(|name| !name.is_empty());
        let learner = name.map_or_else(|| id.clone(), |name| format!("{name} ({id})"));
        NAME.check_text(&learner).map_err(|over| format!("actor: {over}"))?;
        Ok(learner)
    }
}
