//! Draws the shift of an attempt.

use super::error::LessonError;
use super::score::PASS_SCORE;
use super::shift_job::SHIFT_PARTS;
use super::shift_task::{ShiftTask, minutes_over};
use crate::session::{Decision, Session};
use crate::shift::{Shift, ShiftTally};
use std::sync::Arc;

/// How many shifts are drawn until one has trouble of the kind that is wanted.
const DRAWS: u64 = 60;
/// Nothing goes wrong before this part: the chart is read, and a part foretold, before.
const QUIET_PARTS: usize = 12;

/// The shift of the attempt with this seed: one in which something goes wrong, though not at its start, and
/// in which whoever goes on with whatever is found cannot pass.
pub(super) fn shift_of(start: &Session, seed: u64) -> Result<ShiftTask, LessonError> {
    for draw in 0..DRAWS {
        let number = seed.wrapping_mul(DRAWS).wrapping_add(draw);
        let shift = Shift::new(start.state(), number, SHIFT_PARTS).map_err(LessonError::Shift)?;
        if shift.troubles().first().is_none_or(|trouble| trouble.from <= QUIET_PARTS) {
            continue;
        }
        let (blind, best) = (going_on(&shift), shift.best_tally());
        if minutes_over(&blind, &best) > 2 * u32::from(100 - PASS_SCORE) {
            return Ok(ShiftTask { start: Arc::new(shift), best });
        }
    }
    Err(LessonError::NoTrouble { seed })
}

/// What becomes of a shift in which every part is welded that was found.
fn going_on(shift: &Shift) -> ShiftTally {
    let mut shift = shift.clone();
    while let Some(felt) = shift.now() {
        let decision = if felt.offset.is_some() { Decision::GoOn } else { Decision::Stop };
        if shift.decide(decision).is_err() {
            break;
        }
    }
    shift.tally()
}
