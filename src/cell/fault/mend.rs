use serde::{Deserialize, Serialize};
use strum::{EnumIter, IntoEnumIterator, IntoStaticStr};

/// What hands do in the cell to put something right. It takes minutes.
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
pub enum Mend {
    /// Cut the wire to the stick-out that was taught.
    CutWire,
    /// Put a new contact tip in; the wire is cut anew with it, and the nozzle comes off for it.
    ChangeTip,
    /// Clean the nozzle.
    CleanNozzle,
    /// Fasten the work lead.
    FastenLead,
    /// Set the sensing speed back.
    SetSpeed,
    /// Seat the clamps at their marks, and tighten them.
    TightenClamps,
    /// Clean the edge.
    CleanEdge,
    /// Grind the edge smooth.
    GrindEdge,
    /// Press the upright plate square, and tack it.
    TackUpright,
    /// Seat the part where it was taught.
    SeatPart,
    /// Load a part as it is drawn.
    LoadPart,
}

impl Mend {
    /// All of them.
    pub fn all() -> impl Iterator<Item = Self> {
        Self::iter()
    }

    /// Its name in files.
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// What is done, as a command.
    pub const fn says(self) -> &'static str {
        match self {
            Self::CutWire => "cut the wire",
            Self::ChangeTip => "change the contact tip",
            Self::CleanNozzle => "clean the nozzle",
            Self::FastenLead => "fasten the work lead",
            Self::SetSpeed => "set the sensing speed back",
            Self::TightenClamps => "seat the clamps at their marks and tighten them",
            Self::CleanEdge => "clean the edge",
            Self::GrindEdge => "grind the edge smooth",
            Self::TackUpright => "press the upright plate square and tack it",
            Self::SeatPart => "seat the part as it was taught, and take the reference again",
            Self::LoadPart => "load a part as it is drawn",
        }
    }

    /// How long it takes, minutes (common practice, no source).
    pub const fn minutes(self) -> u32 {
        match self {
            Self::CutWire | Self::SetSpeed => 1,
            Self::FastenLead | Self::SeatPart => 2,
            Self::CleanNozzle => 3,
            Self::CleanEdge => 4,
            Self::ChangeTip | Self::TightenClamps => 5,
            Self::GrindEdge | Self::TackUpright => 6,
            Self::LoadPart => 10,
        }
    }

    /// Whether the wire is cut with it.
    pub const fn cuts_wire(self) -> bool {
        matches!(self, Self::CutWire | Self::ChangeTip)
    }
}
