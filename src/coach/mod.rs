//! The coach: checks the routine and the session against rules and reports findings.
//!
//! Only the coach may use the true pose of the part. Every rule is one file under `rules/`: what it
//! asks, a check, a mend, three hints, and its page for the learner. The cost of a mistake is the
//! difference between running the cell with it and without it.

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
