//! The spread at the seam that the planned touches will give, before anything runs.
//!
//! Each touch scatters by its own, by the edge it lands on, in the reference as in production. What that does
//! to a weld end follows from the solver's own derivatives; it holds for small motions of the part. A body
//! that moves by itself, a slip, a bend or a ball on the wire are not in it: these are no scatter.
//!
//! ```
//! use nudgeproof::cell::part_by_name;
//! use nudgeproof::forecast::SeamForecast;
//! use nudgeproof::lesson::model_routine;
//! use nudgeproof::session::{Action, Header, Session};
//!
//! let part = part_by_name("bench-side").expect("it comes with the program");
//! let routine = model_routine(&part);
//! let mut session = Session::new(Header::new(part, 1))?;
//! session.act(Action::LoadRoutine { routine })?;
//! let forecast = SeamForecast::of(session.state());
//! let [from, to] = forecast.welds[0].across().expect("its touches hold it");
//! assert!(from < 0.6 && to < 0.6, "within the tolerance, mm");
//! # Ok::<(), nudgeproof::session::ActionError>(())
//! ```

mod at_cell;
mod best;
mod candidates;
mod no_forecast;
mod planned;
mod spread;
mod weld;

pub use at_cell::{
    Beyond, CellFindings, CellNumbers, EndSeen, MoveSeen, OffsetNumbers, PlaceNumbers, ScatterSeen,
    StillSeen, TouchNumbers,
};
pub use best::{LEAST_APART_MM, PlaceLayouts, with_layout};
pub use candidates::with_touch_moved;
pub use no_forecast::{Lack, NoForecast};
pub(crate) use planned::difference_sigma;
pub use planned::{PlannedFind, PlannedTouch};
pub use weld::{EndSpread, SeamForecast, TouchShare, WeldForecast, decisive_find};
