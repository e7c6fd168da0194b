//! Parts of the learner's own that are kept in this browser, as part files.

use crate::app::storage;
use nudgeproof::cell::Part;

/// The part files, as a list in JSON.
const STORED: &str = "parts";

/// The stored texts; `None` if they cannot be read, so that nothing may be written in their place.
fn stored() -> Option<Vec<String>> {
    match storage::try_setting(STORED).ok()? {
        Some(text) => serde_json::from_str(&text).ok(),
        None => Some(Vec::new()),
    }
}

fn store(texts: &[String]) -> bool {
    let text = serde_json::to_string(texts).expect("texts are written as JSON");
    storage::set_setting(STORED, &text)
}

/// Stores the texts without the part of this name, and `more`; false if the browser does not. A text that
/// cannot be read stays: a later version of the program may have written it.
fn store_without(name: &str, more: Option<String>) -> bool {
    let Some(mut texts) = stored() else { return false };
    texts.retain(|text| !Part::from_toml(text).is_ok_and(|part| part.name == name));
    texts.extend(more);
    store(&texts)
}

/// The parts that are kept and can be read.
pub(super) fn kept() -> Vec<Part> {
    stored().iter().flatten().filter_map(|text| Part::from_toml(text).ok()).collect()
}

/// Keeps a part, in the place of one of the same name; false if the browser does not.
pub(super) fn keep(part: &Part) -> bool {
    store_without(&part.name, Some(part.to_toml()))
}

/// Removes a part; false if the browser does not.
pub(super) fn remove(name: &str) -> bool {
    store_without(name, None)
}
