use serde::{Deserialize, Serialize};
use strum::{EnumString, IntoStaticStr, VariantArray};

/// What one unit of a drawing may be.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Serialize,
    Deserialize,
    EnumString,
    IntoStaticStr,
    VariantArray,
)]
#[serde(rename_all = "snake_case")]
#[strum(serialize_all = "snake_case")]
pub enum Unit {
    /// Millimetre.
    Mm,
    /// Centimetre.
    Cm,
    /// Metre.
    M,
    /// Inch.
    Inch,
    /// Foot.
    Foot,
    /// A pixel of 1/96 inch (CSS Values and Units, Level 3, section 6.2).
    Pixel,
    /// A point of 1/72 inch (the same).
    Point,
}

impl Unit {
    /// All that a person may choose from.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// Its length, mm.
    pub const fn mm(self) -> f64 {
        match self {
            Self::Mm => 1.0,
            Self::Cm => 10.0,
            Self::M => 1000.0,
            Self::Inch => 25.4,
            Self::Foot => 304.8,
            Self::Pixel => 25.4 / 96.0,
            Self::Point => 25.4 / 72.0,
        }
    }
}

/// What a drawing file says of its unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum UnitSaid {
    /// One unit is so many mm.
    Mm(f64),
    /// Nothing.
    Nothing,
    /// Two things: one unit is so many mm, or so many.
    Contradiction(f64, f64),
}

impl UnitSaid {
    /// Length of a unit, mm, where the file leaves no doubt.
    pub fn mm(self) -> Option<f64> {
        match self {
            Self::Mm(mm) => Some(mm),
            Self::Nothing | Self::Contradiction(..) => None,
        }
    }
}
