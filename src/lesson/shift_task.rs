//! A lesson about a shift: which shift an attempt has, and what its decisions cost.

use crate::shift::{SCRAP_MINUTES, Shift, ShiftTally};
use std::sync::Arc;

/// The shift of an attempt.
#[derive(Debug, Clone)]
pub(super) struct ShiftTask {
    /// At its first part.
    pub(super) start: Arc<Shift>,
    /// What the best decisions make of it.
    pub(super) best: ShiftTally,
}

/// Minutes lost beyond what the best decisions lose. Looks that were saved do not make up for scrap.
pub(super) fn minutes_over(tally: &ShiftTally, best: &ShiftTally) -> u32 {
    let scrap = tally.scrap.saturating_sub(best.scrap) as u32 * SCRAP_MINUTES;
    scrap + tally.minutes.saturating_sub(best.minutes)
}
