//! What the browser keeps of shifts: the decisions of the one under way, and the best so far.

use crate::app::storage;
use nudgeproof::session::Decision;
use serde::{Deserialize, Serialize};

const UNDER_WAY: &str = "shift";
const BEST: &str = "shift.best";

/// The shift under way. Number and decisions are all of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct UnderWay {
    pub(super) number: u64,
    /// Whether it is the shift of a day, which gives way to that of the next.
    pub(super) daily: bool,
    pub(super) decisions: Vec<Decision>,
}

/// The shift under way; none if there is none, or none that can be read.
pub(super) fn under_way() -> Option<UnderWay> {
    serde_json::from_str(&storage::setting(UNDER_WAY)?).ok()
}

/// Where nothing can be stored it begins anew at the next visit.
pub(super) fn keep(work: &UnderWay) {
    if let Ok(text) = serde_json::to_string(work) {
        let _ = storage::set_setting(UNDER_WAY, &text);
    }
}

/// The fewest minutes above the best possible so far.
fn best() -> Option<u32> {
    storage::setting(BEST)?.parse().ok()
}

/// Keeps these minutes if they are fewer; gives the fewest before, if there was a shift before.
pub(super) fn keep_best(minutes: u32) -> Option<u32> {
    let before = best();
    if before.is_none_or(|before| minutes < before) {
        let _ = storage::set_setting(BEST, &minutes.to_string());
    }
    before
}
