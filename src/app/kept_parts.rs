//! Parts of the learner's own that are kept in this browser, as part files.

use crate::app::storage;
use nudgeproof::cell::Part;

/// The part files, as a list in JSON.
const STORED: &str = "parts";

/// The parts that are kept and can be read.
pub(crate) fn kept() -> Vec<Part> {
    let part = |text: &String| Part::from_toml(text).ok();
    storage::texts(STORED).iter().flatten().filter_map(part).collect()
}

/// Keeps a part, in the place of one of the same name; false if the browser does not.
pub(crate) fn keep(part: &Part) -> bool {
    store_without(&part.name, Some(part.to_toml()))
}

/// Removes a part; false if the browser does not.
pub(crate) fn remove(name: &str) -> bool {
    store_without(name, None)
}

/// Stores the texts without the part of this name, and `more`. A text that cannot be read stays: a later
/// version of the program may have written it.
fn store_without(name: &str, more: Option<String>) -> bool {
    let is_named = |text: &str| Part::from_toml(text).is_ok_and(|part| part.name == name);
    storage::replace_texts(STORED, is_named, more)
}
