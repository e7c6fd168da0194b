//! The coach: checks the routine and the session against rules and reports findings.
//!
//! Only the coach may use the true pose of the part. Every rule is one file under `rules/`: what it
//! asks, a check, a mend, three hints, and its page for the learner. The cost of a mistake is the
//! difference between running the cell with it and without it.
//!
//! ```
//! use nudgeproof::coach::{RuleName, review};
//! use nudgeproof::session::Session;
//!
//! let text = std::fs::read_to_string("tests/cases/sessions/home-rides-along.json")?;
//! let review = review(&Session::from_json(&text)?);
//!
//! let finding = &review.findings[0];
//! assert_eq!(finding.rule, RuleName::HomeFollowsPart);
//! // How far the torch misses home because of it, mm.
//! assert!(finding.cost.mm.is_some_and(|mm| mm > 1.0));
//! assert!(review.score.total < 100);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod catalogue;
mod cost;
mod echoes;
mod edited;
mod facts;
mod finding;
mod house_rules;
mod pieces;
mod review;
mod rule;
mod rules;
mod score;
mod script;
mod skills;

pub use crate::text::RuleName;
pub use catalogue::{RULES, rule};
pub use finding::{Cost, CostKnown, Finding, Severity, Skill};
pub use house_rules::{
    HouseRulesFileError, check_house_rules, house_rules_to_json, read_house_rules,
};
pub use pieces::Pieces;
pub(crate) use review::broken_rules;
pub use review::{
    Review, breaks, check_routine, check_routine_in_pieces, mend, review, review_in_pieces,
};
pub use rule::{Reads, Rule, RuleTraits};
pub use score::{Score, ScorePart};
pub(crate) use score::{price_of_help, price_of_rules};
pub use skills::{Attempt, MASTERY_PARTS, MASTERY_PASSES, Mastery, SkillEstimate, mastery};
