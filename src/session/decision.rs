//! What is decided in a shift. The shift itself is played elsewhere; a session keeps the decisions.

use serde::{Deserialize, Serialize};
use strum::{EnumIter, IntoEnumIterator};

/// What is decided about the part that waits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "decide", content = "at")]
pub enum Decision {
    /// Weld it with this offset.
    GoOn,
    /// Look at something. What is found is mended, and the part is felt again.
    Look(LookAt),
    /// Lock out the cell and call the setter, who puts everything right. The part is set aside.
    Stop,
}

/// What an operator can look at in a shift.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, EnumIter)]
#[serde(rename_all = "kebab-case")]
pub enum LookAt {
    /// Wire and contact tip: the wire is cut, a worn tip changed.
    WireTip,
    /// The clamps: a worn one is tightened.
    Clamps,
    /// The part itself, by try square: a bad batch is taken away.
    Part,
    /// The work lead: put back on.
    WorkLead,
}

impl LookAt {
    /// All of them.
    pub fn all() -> impl Iterator<Item = Self> {
        Self::iter()
    }
}
