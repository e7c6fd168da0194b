use serde::{Deserialize, Serialize};
use strum::{EnumIter, IntoEnumIterator, IntoStaticStr};

/// What a person looks at in the cell, to find out what is wrong. A look takes minutes.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    EnumIter,
    IntoStaticStr,
)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Look {
    /// The tip of the wire.
    WireTip,
    /// The nozzle, taken off, and the contact tip in it.
    Nozzle,
    /// The work lead.
    WorkLead,
    /// The settings of the controller.
    Settings,
    /// The clamps, and whether the part can be pushed.
    Clamps,
    /// The edges where the wire touches.
    Edges,
    /// The part by try square: its corners and its upright plate.
    Square,
    /// The tag of the part.
    Tag,
    /// The bead of the last weld.
    Bead,
}

impl Look {
    /// All of them.
    pub fn all() -> impl Iterator<Item = Self> {
        Self::iter()
    }

    /// Its name in files.
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// How long it takes with the way there and back, minutes (common practice, no source).
    pub const fn minutes(self) -> u32 {
        match self {
            Self::WireTip | Self::Settings | Self::Tag | Self::Bead => 1,
            Self::WorkLead => 2,
            Self::Nozzle | Self::Clamps | Self::Edges => 3,
            Self::Square => 4,
        }
    }
}
