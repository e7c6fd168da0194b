use super::house_rules::HouseRules;
use crate::cell::{CellSettings, Part};
use std::sync::Arc;

/// What a session started from.
#[derive(Debug, Clone, PartialEq)]
pub struct Header {
    /// The part.
    pub part: Part,
    /// Seed of everything random in the session.
    pub seed: u64,
    /// Torch and sensing.
    pub settings: CellSettings,
    /// The lesson it belongs to, by name.
    pub lesson: Option<String>,
    /// The learner's name as typed.
    pub learner: Option<String>,
    /// The house rules it is judged by; the coach's catalogue alone, where there are none.
    pub house_rules: Option<Arc<HouseRules>>,
}

impl Header {
    /// The part with default torch and sensing.
    pub fn new(part: Part, seed: u64) -> Self {
        Self {
            part,
            seed,
            settings: CellSettings::default(),
            lesson: None,
            learner: None,
            house_rules: None,
        }
    }
}
