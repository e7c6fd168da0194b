use super::model::model_routine;
use crate::cell::{Part, parts};
use crate::routine::RunSpeed;
use crate::session::{Action, ActionError, Header, Session};
use crate::shift::Shift;

/// Parts of a prepared shift.
pub const SHIFT_PARTS: usize = 40;

/// A shift that is prepared: one of the program's own parts, with its model routine and a reference.
/// The number decides the part, the parts that come, and what goes wrong; a date makes a good one.
///
/// It is a part with one place: the chart of a shift shows one offset. `None` if the program brought no part that can be made in a shift.
pub fn prepared_shift(number: u64) -> Option<Shift> {
    let suits = |part: &Part| has_a_touch_to_spare(part) && part.fine_places().is_empty();
    let known: Vec<Part> = parts().into_iter().filter(suits).collect();
    let part = known.get((number % known.len().max(1) as u64) as usize)?;
    let session = job(part, number).ok()?;
    Shift::new(session.state(), number, SHIFT_PARTS).ok()
}

/// Only touches to spare can disagree.
fn has_a_touch_to_spare(part: &Part) -> bool {
    part.model_touches.len() > part.play.freedoms().count()
}

/// The model routine of a part, and its reference run.
fn job(part: &Part, seed: u64) -> Result<Session, (usize, ActionError)> {
    let actions = [
        Action::LoadRoutine { routine: model_routine(part) },
        Action::SetReference { on: true },
        Action::Run { speed: RunSpeed::Reduced, arc: false, steps: None },
        Action::SetReference { on: false },
    ];
    Session::replay(Header::new(part.clone(), seed), actions)
}
