//! The house rules of a school or a shop: their file, and what they change.

use super::catalogue::rule;
use super::finding::Finding;
use crate::io::{TextError, from_file, shortened, to_json};
use crate::session::{HouseRules, HouseRulesError};
use crate::text::RuleName;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// What the first key of the file says.
const FORMAT: &str = "nudgeproof-house-rules";
const VERSION: u32 = 1;

/// Why a file of house rules cannot be used.
#[derive(Debug, Error)]
pub enum HouseRulesFileError {
    /// It cannot be read, or a key is missing, unknown or of the wrong kind.
    #[error(transparent)]
    Text(#[from] TextError),
    /// It is another kind of file.
    #[error("key `format`: expected {FORMAT:?}, and found {0:?}")]
    OtherFormat(String),
    /// It was written by another version.
    #[error("key `format_version`: expected {VERSION}, and found {0}")]
    OtherVersion(u32),
    /// A key makes no sense.
    #[error(transparent)]
    Rules(#[from] HouseRulesError),
    /// A rule protects people.
    #[error("key `off`: \"{0}\" keeps people safe, and cannot be switched off")]
    KeepsPeopleSafe(RuleName),
}

/// The keys of the file.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    format: String,
    format_version: u32,
    name: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    off: Vec<RuleName>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    touches_agree_mm: Option<f64>,
}

/// Reads a file of house rules: TOML if its name ends so, else JSON.
///
/// # Errors
/// The first thing that does not fit the format; or a rule that may not be switched off.
pub fn read_house_rules(file_name: &str, text: &str) -> Result<HouseRules, HouseRulesFileError> {
    let file: File = from_file(file_name, text)?;
    if file.format != FORMAT {
        return Err(HouseRulesFileError::OtherFormat(shortened(&file.format)));
    }
    if file.format_version != VERSION {
        return Err(HouseRulesFileError::OtherVersion(file.format_version));
    }
    let File { name, off, touches_agree_mm, .. } = file;
    let rules = HouseRules { name, off, touches_agree_mm };
    check_house_rules(&rules)?;
    Ok(rules)
}

/// Whether house rules may be used.
///
/// # Errors
/// The first key that makes no sense, or a rule that may not be switched off.
pub fn check_house_rules(rules: &HouseRules) -> Result<(), HouseRulesFileError> {
    rules.check()?;
    match rules.off.iter().find(|name| rule(**name).traits.endangers_people) {
        Some(name) => Err(HouseRulesFileError::KeepsPeopleSafe(*name)),
        None => Ok(()),
    }
}

/// Writes house rules as a file.
pub fn house_rules_to_json(rules: &HouseRules) -> String {
    let HouseRules { name, off, touches_agree_mm } = rules.clone();
    to_json(&File { format: FORMAT.into(), format_version: VERSION, name, off, touches_agree_mm })
}

/// Whether the house asks for what this rule asks. A rule that keeps people safe always holds.
pub(super) fn holds(house: Option<&HouseRules>, name: RuleName) -> bool {
    let off = house.is_some_and(|house| house.off.contains(&name));
    !off || rule(name).traits.endangers_people
}

/// Whether a finding with its cost is told: where a mistake makes a weld miss or stops a run, the learner is
/// told why, whatever the house asks for.
pub(super) fn is_told(house: Option<&HouseRules>, finding: &Finding) -> bool {
    holds(house, finding.rule)
        || finding.cost.event.is_some()
        || finding.cost.mm.is_some_and(|mm| mm > TOLD_MM)
}

/// The least share of a miss that is told against the rules of a house, mm: the scatter of a touch.
const TOLD_MM: f64 = 0.1;
