//! The coach: watches the routine and the session and speaks in findings.
//!
//! It alone may look at the truth (where the part really lies). Every rule of the catalogue is one
//! small file under `rules/`: what it asks, how its fault is seen, how it is mended, three hints,
//! and its page for the learner. What a mistake costs is found by running the cell with it and
//! without it.

mod catalogue;
mod cost;
mod echoes;
mod facts;
mod finding;
mod review;
mod rule;
mod rules;
mod score;
mod script;
mod skills;

pub use catalogue::{RULES, rule};
pub use finding::{Cost, Finding, Severity, Skill};
pub use review::{Review, Reviewing, check_routine, mend, review};
pub use rule::{Reads, Rule};
pub use score::{Score, ScorePart};
pub(crate) use score::{price_of_help, price_of_rules, rules_of};
pub use skills::{Attempt, MASTERY_PARTS, MASTERY_PASSES, SkillEstimate, mastery};
