//! Drills: what is planted, none, one or two faults at once; what speaks for each; and what the cheapest
//! way to find and mend it takes.

mod alternatives;
mod cheapest;
mod diagnosis;
mod draw;
mod judged;
mod pairs;
mod template;

pub(super) use cheapest::{looks, repair};
pub(super) use diagnosis::right_causes;
pub(super) use draw::{Drawn, decides, draw, first_cause};
pub use judged::{Judged, JudgedCause};
pub use pairs::may_come_together;
pub use template::FaultTemplate;
