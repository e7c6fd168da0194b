//! A shift: many parts one after the other on one routine, while troubles creep in.
//!
//! Each part is felt, and the arc waits. The operator sees the offset and the agreement of the touches,
//! beside those of the parts before, and decides: go on, look at something, or stop. The true pose and
//! the troubles show only in what they do to the touches; how the welds came out is told at the end.
//!
//! A shift is a pure function of the session it starts from, its seed and the decisions.

mod best;
mod chart;
mod felt;
mod followed;
mod running;
mod trouble;

pub use chart::{IndividualsChart, first_parts, individuals_chart, is_outside, own_limits};
pub use felt::{Agreement, Felt, TouchFelt};
pub use followed::{Alarm, Followed};
pub use running::{
    Done, LOOK_MINUTES, MOST_PARTS, SCRAP_MINUTES, STOP_MINUTES, Shift, ShiftError, ShiftTally,
};
pub use trouble::{Trouble, TroubleKind};
