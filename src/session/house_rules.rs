use crate::io::limits::{NAME, OverLimit};
use crate::text::RuleName;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Where a school or a shop differs from the coach's catalogue. They belong to a session from its start,
/// so that its record says by which rules it was judged.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HouseRules {
    /// Whose they are.
    pub name: String,
    /// Rules that it does not ask for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub off: Vec<RuleName>,
    /// The most that a touch may stand off the best fit, mm, beside what chance allows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub touches_agree_mm: Option<f64>,
}

/// A limit below this would refuse touches that scatter as they should, mm: three standard deviations
/// of a touch on a machined edge.
const LEAST_AGREE_MM: f64 = 0.3;
/// A limit above this refuses nothing that chance would let pass, mm.
const MOST_AGREE_MM: f64 = 5.0;

/// What is wrong with house rules: the key, and what was expected there.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum HouseRulesError {
    /// Nobody could tell whose they are.
    #[error("key `name`: expected the name of the school or shop, and found none")]
    NoName,
    /// The name is too long.
    #[error("key `name`: {0}")]
    LongName(OverLimit),
    /// A rule is named twice.
    #[error("key `off`: expected each rule once, and found \"{0}\" twice")]
    Twice(RuleName),
    /// The limit is none.
    #[error(
        "key `touches_agree_mm`: expected a length from {LEAST_AGREE_MM} to {MOST_AGREE_MM} mm, and found {0}"
    )]
    BadLimit(f64),
}

impl HouseRules {
    /// Whether they make sense.
    ///
    /// # Errors
    /// The first key that does not.
    pub fn check(&self) -> Result<(), HouseRulesError> {
        if self.name.trim().is_empty() {
            return Err(HouseRulesError::NoName);
        }
        NAME.check_text(&self.name).map_err(HouseRulesError::LongName)?;
        let twice = self.off.iter().enumerate().find(|(i, rule)| self.off[..*i].contains(rule));
        if let Some((_, rule)) = twice {
            return Err(HouseRulesError::Twice(*rule));
        }
        match self.touches_agree_mm {
            Some(mm) if !(LEAST_AGREE_MM..=MOST_AGREE_MM).contains(&mm) => {
                Err(HouseRulesError::BadLimit(mm))
            }
            _ => Ok(()),
        }
    }
}
