//! Parts of the learner's own that are kept in this browser: part files, with what was filled in to make them.

use crate::app::logic::filled::Filled;
use crate::app::settings::Settings;
use crate::app::storage;
use nudgeproof::cell::{Draft, OutlineDraft, Part};
use serde::{Deserialize, Serialize};

/// The parts, each as the JSON of a [`KeptFile`], as a list in JSON.
const STORED: &str = "parts";
/// What was filled in last, kept or not: the JSON of a [`KeptFile`].
const AT_HAND: &str = "part-at-hand";

/// A part that is kept.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct KeptPart {
    pub(crate) part: Part,
    /// What was filled in, where it came of that.
    pub(crate) filled: Option<Filled>,
}

/// The same as it is stored.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct KeptFile {
    /// A part file.
    part: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    draft: Option<Draft>,
    /// Instead of a draft, where a drawing has the outline.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    outline: Option<OutlineDraft>,
}

/// The parts that are kept and can be read.
pub(crate) fn kept() -> Vec<KeptPart> {
    storage::texts(STORED).iter().flatten().filter_map(|text| read(text)).collect()
}

fn read(text: &str) -> Option<KeptPart> {
    let KeptFile { part, draft, outline } = serde_json::from_str(text).ok()?;
    let draft = draft.or_else(|| outline.as_ref().map(|outline| outline.draft.clone()));
    let filled = draft.map(|draft| Filled { draft, outline });
    Some(KeptPart { part: Part::from_toml(&part).ok()?, filled })
}

fn written(kept: &KeptPart) -> String {
    let (draft, outline) = match kept.filled.clone() {
        Some(Filled { outline: Some(outline), .. }) => (None, Some(outline)),
        filled => (filled.map(|filled| filled.draft), None),
    };
    let file = KeptFile { part: kept.part.to_toml(), draft, outline };
    serde_json::to_string(&file).expect("texts and numbers can be written")
}

/// Keeps a part, in the place of one of the same name; false if the browser does not.
pub(crate) fn keep(kept: &KeptPart) -> bool {
    store_without(&kept.part.name, Some(written(kept)))
}

/// What was at hand last, if that can be read.
pub(crate) fn at_hand() -> Option<KeptPart> {
    read(&storage::setting(AT_HAND)?)
}

/// Stores what is at hand, for the next time the page is opened.
pub(crate) fn keep_at_hand(settings: Settings, part: &KeptPart) {
    settings.store(AT_HAND, &written(part));
}

/// Removes a part; false if the browser does not.
pub(crate) fn remove(name: &str) -> bool {
    store_without(name, None)
}

/// Stores the texts without the part of this name, and `more`. A text that cannot be read stays: a later
/// version of the program may have written it.
fn store_without(name: &str, more: Option<String>) -> bool {
    let is_named = |text: &str| read(text).is_some_and(|kept| kept.part.name == name);
    storage::replace_texts(STORED, is_named, more)
}
