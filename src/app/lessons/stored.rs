//! Records and refresher as they are kept in this browser.

use crate::app::i18n::{Key, format};
use crate::app::storage;
use nudgeproof::lesson::{LessonRecord, records_from_json, records_to_json};

const RECORDS: &str = "records";
const REFRESHER: &str = "refresher";

/// Names under which texts are put aside that are no records.
fn aside_names() -> impl Iterator<Item = String> {
    (1..100).map(|n| format!("{RECORDS}.aside.{n}"))
}

/// The records in this browser. A text that cannot be read is put aside, and the reason returned.
pub(super) fn records() -> (Vec<LessonRecord>, Option<String>) {
    let Some(text) = storage::setting(RECORDS) else { return (Vec::new(), None) };
    match records_from_json(&text) {
        Ok(records) => (records, None),
        Err(why) => {
            let is_free = |name: &String| storage::setting(name).is_none_or(|t| t == text);
            if let Some(name) = aside_names().find(is_free) {
                storage::set_setting(&name, &text);
            }
            (Vec::new(), Some(format(Key::RecordsUnreadable, &[&why.to_string()])))
        }
    }
}

/// Keeps these records and no others; false if the browser does not.
pub(super) fn set_records(records: &[LessonRecord]) -> bool {
    let text = records_to_json(records);
    storage::set_setting(RECORDS, &text);
    storage::setting(RECORDS).as_deref() == Some(&*text)
}

/// The texts of records that could not be read.
pub(crate) fn unreadable_records() -> Vec<String> {
    aside_names().map_while(|name| storage::setting(&name)).collect()
}

/// A task of the refresher.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct RefresherItem {
    /// Name of the lesson with the number of the stage: `slide-and-turn#7`.
    pub(crate) lesson: String,
    pub(crate) seed: u64,
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

pub(super) fn set_refresher(items: &[RefresherItem]) {
    let lines: Vec<_> = items.iter().map(|i| format!("{} {}", i.lesson, i.seed)).collect();
    storage::set_setting(REFRESHER, &lines.join("\n"));
}
