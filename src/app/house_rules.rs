//! The house rules that this browser keeps.

use super::i18n::{Key, format, text, words};
use super::logic::number::length;
use super::storage;
use nudgeproof::coach::{house_rules_to_json, read_house_rules};
use nudgeproof::session::HouseRules;
use std::sync::Arc;

/// The setting that holds them, as their file.
const STORED: &str = "house-rules";

/// Those of a file that was chosen.
///
/// # Errors
/// One sentence that names the place and what was expected there.
pub(crate) fn read(name: &str, content: Result<String, String>) -> Result<HouseRules, String> {
    content.and_then(|text| read_house_rules(name, &text).map_err(|e| e.to_string()))
}

/// Those that are kept; none, where they cannot be read.
pub(crate) fn stored() -> Option<Arc<HouseRules>> {
    read_house_rules("", &storage::setting(STORED)?).ok().map(Arc::new)
}

/// Keeps them, or none; false if the browser does not.
pub(crate) fn store(house: Option<&HouseRules>) -> bool {
    let Some(house) = house else {
        storage::remove_setting(STORED);
        return true;
    };
    storage::set_setting(STORED, &house_rules_to_json(house))
}

/// Whose they are, and in what they differ from the catalogue.
pub(crate) fn in_words(house: &HouseRules) -> String {
    let mut says = format(Key::JudgedByHouse, &[&house.name]);
    if !house.off.is_empty() {
        let titles: Vec<_> = house.off.iter().map(|rule| rule.title(words())).collect();
        says = format!("{says} {}", format(Key::HouseOff, &[&titles.join("; ")]));
    }
    if let Some(mm) = house.touches_agree_mm {
        says = format!("{says} {}", format(Key::HouseAgree, &[&length(mm, 2)]));
    }
    if house.off.is_empty() && house.touches_agree_mm.is_none() {
        says = format!("{says} {}", text(Key::HouseAsCatalogue));
    }
    says
}
