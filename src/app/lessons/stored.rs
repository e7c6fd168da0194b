//! Records and refresher as they are kept in this browser.

use crate::app::i18n::{Key, format};
use crate::app::storage;
use nudgeproof::lesson::{Lesson, LessonRecord, RecordBook};

const RECORDS: &str = "records";
const REFRESHER: &str = "refresher";

/// Beginning of the names under which texts are put aside: here those that are no records, and in
/// `src/app/boot.js` whatever was there when a start did not end.
const ASIDE: &str = "records.aside";

/// The names for texts that are no records.
fn aside_names() -> impl Iterator<Item = String> {
    (1..100).map(|n| format!("{ASIDE}.{n}"))
}

/// The records as they are stored in this browser.
#[derive(Debug, Default)]
pub(super) struct StoredRecords {
    pub(super) records: Vec<LessonRecord>,
    /// Why the text that is stored cannot be read.
    pub(super) unreadable: Option<String>,
    /// Whether other records may be stored in its place: not over a text for which there was no room aside.
    pub(super) replaceable: bool,
}

/// The records in this browser. A text that is none is put aside.
pub(super) fn records() -> StoredRecords {
    let Some(text) = storage::setting(RECORDS) else {
        return StoredRecords { replaceable: true, ..StoredRecords::default() };
    };
    match RecordBook::from_json(&text) {
        Ok(RecordBook { records, .. }) => {
            StoredRecords { records, unreadable: None, replaceable: true }
        }
        Err(why) => {
            let is_free = |name: &String| storage::setting(name).is_none_or(|there| there == text);
            let free = aside_names().find(is_free);
            StoredRecords {
                records: Vec::new(),
                unreadable: Some(format(Key::RecordsUnreadable, &[&why.to_string()])),
                replaceable: free.is_some_and(|name| storage::set_setting(&name, &text)),
            }
        }
    }
}

/// Stores these records and no others, in place of those that are put aside under these names; false if the
/// browser does not.
pub(super) fn set_records(records: &[LessonRecord], aside: &[String]) -> bool {
    storage::set_instead(RECORDS, &RecordBook::of(records).to_json(), aside)
}

/// What was put aside: names and texts.
fn aside() -> impl Iterator<Item = (String, String)> {
    let text = |name: String| storage::setting(&name).map(|text| (name, text));
    storage::setting_names(ASIDE).into_iter().filter_map(text)
}

/// The texts that were put aside and cannot be read.
pub(crate) fn unreadable_records() -> Vec<String> {
    aside().map(|(_, text)| text).filter(|text| RecordBook::from_json(text).is_err()).collect()
}

/// The records that were put aside: under which name, and which.
pub(super) fn records_aside() -> Vec<(String, Vec<LessonRecord>)> {
    aside()
        .filter_map(|(name, text)| Some((name, RecordBook::from_json(&text).ok()?.records)))
        .collect()
}

/// A task of the refresher.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct RefresherItem {
    /// Name of the lesson with the number of the stage: `slide-and-turn#7`.
    pub(crate) lesson: String,
    pub(crate) seed: u64,
}

impl RefresherItem {
    /// What draws this task again.
    pub(super) fn of(task: &Lesson) -> Self {
        Self { lesson: task.name.clone(), seed: task.seed }
    }
}

/// What is left of the refresher: one item a line, name and seed.
pub(super) fn refresher() -> Vec<RefresherItem> {
    let text = storage::setting(REFRESHER).unwrap_or_default();
    let item = |line: &str| {
        let (lesson, seed) = line.split_once(' ')?;
        Some(RefresherItem { lesson: lesson.to_owned(), seed: seed.parse().ok()? })
    };
    text.lines().filter_map(item).collect()
}

/// Stores what is left of the refresher; false if the browser does not.
pub(super) fn set_refresher(items: &[RefresherItem]) -> bool {
    let lines: Vec<_> = items.iter().map(|i| format!("{} {}", i.lesson, i.seed)).collect();
    storage::set_setting(REFRESHER, &lines.join("\n"))
}
