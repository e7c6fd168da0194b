//! A learner's session: actions in, state out, replayable from its seed.
//!
//! ```
//! use nudgeproof::cell::part_by_name;
//! use nudgeproof::geometry::{Point3, PoseFile};
//! use nudgeproof::session::{Action, Header, Session};
//!
//! let part = part_by_name("bench-side").expect("it comes with the program");
//! let mut session = Session::new(Header::new(part, 7))?;
//! session.act(Action::Teach { point: "home".into(), at: Point3::new(-160.0, -180.0, 200.0) })?;
//! session.act(Action::place_part(PoseFile { dx: 3.0, ..PoseFile::default() }))?;
//! assert_eq!(session.state().work_from_part.translation().x, 3.0);
//!
//! session.undo();
//! assert_eq!(session.state().work_from_part.translation().x, 0.0);
//! assert!(session.state().routine.point("home").is_some());
//!
//! // A session file holds the start and the actions; the state follows from them.
//! let again = Session::from_json(&session.to_json())?;
//! assert_eq!(again.state().routine, session.state().routine);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod action;
mod apply;
mod decision;
mod error;
mod evidence;
mod file;
mod header;
mod histogram;
mod history;
mod house_rules;
mod journal;
mod looks;
mod replay;
mod signs;
mod state;
mod study;
mod tally;
mod taught;
mod told;

pub use action::{Action, CellState, Certainty};
pub use decision::{Decision, LookAt};
pub use error::ActionError;
pub use evidence::{Diagnosis, Evidence, Looked, NOTHING_WRONG, NamedCause, Reading};
pub use file::{SEALED_ACTION, SESSION_FORMAT, SESSION_VERSION, SessionError};
pub use header::Header;
pub use histogram::{BIN_MM, Capability, Histogram};
pub use history::{Moment, Session};
pub use house_rules::{HouseRules, HouseRulesError};
pub use journal::{JOURNAL_VERSION, Journal, Record, Restored, restored};
pub use looks::{PLACE_MINUTES, RUN_HANDLING_MINUTES};
pub(crate) use replay::Replay;
pub(crate) use signs::AT_ONCE_MM;
pub use signs::{Sign, searched};
pub use state::{ByHand, List, LiveEntry, RunContext, State, Stretch};
pub(crate) use study::check_study;
pub use study::{Study, StudyError, StudyPart};
pub use tally::{EndTally, StopReason, StopTally, Tally, WorstPart};
pub(crate) use taught::{Lying, TaughtPlaces, still};
pub use told::Told;
