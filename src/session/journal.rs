//! A session as it is stored while work goes on: one record for each change, written after those before it.
//!
//! What a record costs does not grow with the session. Read in their order they give the text of a session
//! file: a record keeps the first `keep` of the actions so far and adds others, so undo and redo are records
//! like any other. One with `begins` begins another file, and what stood before it is no longer needed.
//! `src/app/boot.js` puts the texts together too, where this program does not run.

use super::file::Frame;
use super::history::{Moment, Session};
use crate::io::from_json;
use serde::de::IgnoredAny;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// The version of the records that this program writes and reads.
pub const JOURNAL_VERSION: u32 = 1;

/// A record as it is stored: one line of JSON.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry<'a> {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    begins: Option<Beginning>,
    keep: usize,
    /// Texts of actions, as they stand in a session file.
    add: Vec<Cow<'a, str>>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Beginning {
    version: u32,
    frame: Frame,
}

/// Something to store.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Record {
    /// One line of JSON.
    pub text: String,
    /// Whether it holds the whole session, so that those before it may go.
    pub whole: bool,
}

/// What is stored of a session, as far as its records are known to be there.
#[derive(Debug, Default)]
pub struct Journal {
    /// The moment at the start and after each action that is stored; none if nothing is.
    moments: Vec<Moment>,
}

impl Journal {
    /// The journal of a session that is stored as it is.
    pub fn of(session: &Session) -> Self {
        Self { moments: moments(session, 0) }
    }

    /// The record that makes what is stored this session, which it then is taken to be; none if it is.
    pub fn record(&mut self, session: &Session) -> Option<Record> {
        // Two moments are equal only if everything before them is: the last that is shared is enough.
        let shared = (0..self.moments.len())
            .rev()
            .find(|n| session.moment(*n).as_ref() == self.moments.get(*n));
        let keep = shared.unwrap_or(0);
        if shared.is_some() && keep == session.actions().len() && keep + 1 == self.moments.len() {
            return None;
        }
        let begins = shared
            .is_none()
            .then(|| Beginning { version: JOURNAL_VERSION, frame: session.frame() });
        self.moments.truncate(shared.map_or(0, |n| n + 1));
        self.moments.extend(moments(session, self.moments.len()));
        let whole = begins.is_some();
        let add = session.action_texts(keep).map(Cow::Borrowed).collect();
        let text = serde_json::to_string(&Entry { begins, keep, add });
        Some(Record { text: text.expect("texts and numbers can be written"), whole })
    }
}

fn moments(session: &Session, from: usize) -> Vec<Moment> {
    (from..).map_while(|n| session.moment(n)).collect()
}

/// What records give.
#[derive(Debug, Default)]
pub struct Restored {
    /// The session, up to the first thing that cannot be read; none if nothing can.
    pub session: Option<Session>,
    /// Why not all of it could be read, in words, and what was left out, as text.
    pub left_out: Option<(String, String)>,
}

/// Reads the session that these records hold, the oldest first.
pub fn restored<'a>(records: impl IntoIterator<Item = &'a str>) -> Restored {
    let mut frame = None;
    let mut actions: Vec<Cow<str>> = Vec::new();
    let mut records = records.into_iter().enumerate();
    let mut left_out = None;
    while let Some((i, text)) = records.next() {
        let read = entry(text, frame.is_some(), actions.len());
        match read {
            Ok(Entry { begins, keep, add }) => {
                if let Some(begins) = begins {
                    frame = Some(begins.frame);
                }
                actions.truncate(keep);
                actions.extend(add);
            }
            Err(why) => {
                let rest: Vec<_> =
                    std::iter::once(text).chain(records.map(|(_, text)| text)).collect();
                left_out = Some((format!("record {}: {why}", i + 1), rest.join("\n")));
                break;
            }
        }
    }
    let Some(frame) = frame else { return Restored { session: None, left_out } };
    let file = |actions: &[Cow<str>]| frame.around(actions.iter().map(AsRef::as_ref));
    loop {
        let text = file(&actions);
        match Session::from_json(&text) {
            Ok(session) => return Restored { session: Some(session), left_out },
            Err(why) => {
                // Of what is wrong the first place is told, and all of it is left out.
                let rest =
                    left_out.take().map_or_else(String::new, |(_, rest)| format!("\n{rest}"));
                left_out = Some((why.to_string(), format!("{text}{rest}")));
                let good = why.action().and_then(|number| number.checked_sub(1));
                match good.filter(|good| *good < actions.len()) {
                    Some(good) => actions.truncate(good),
                    None => return Restored { session: None, left_out },
                }
            }
        }
    }
}

/// Reads one record that follows on `actions` actions of a file that has begun, or not.
fn entry(text: &str, begun: bool, actions: usize) -> Result<Entry<'_>, String> {
    let entry: Entry = from_json(text).map_err(|e| e.without_line())?;
    if let Some(i) =
        entry.add.iter().position(|text| serde_json::from_str::<IgnoredAny>(text).is_err())
    {
        return Err(format!("key `add[{i}]`: expected an action as JSON"));
    }
    match &entry.begins {
        Some(begins) if begins.version != JOURNAL_VERSION => {
            Err(format!("key `version`: expected {JOURNAL_VERSION}, and found {}", begins.version))
        }
        None if !begun => Err("expected the beginning of a session".into()),
        begins => {
            let most = if begins.is_some() { 0 } else { actions };
            if entry.keep <= most {
                return Ok(entry);
            }
            Err(format!("key `keep`: expected {most} actions at most, and found {}", entry.keep))
        }
    }
}
