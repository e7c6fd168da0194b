use serde::{Deserialize, Serialize};

/// What kind of joint a seam welds (names as the trade and ISO/TR 25901-1 have them, from memory): what
/// stands on either side of it, and so how the torch leans.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Joint {
    /// A plate stands upright on another: the seam is the corner between them.
    #[default]
    Fillet,
    /// A sheet lies flat on another: the seam is the corner of its edge and the lower plate. How high
    /// its top lies tells where the seam is, by its thickness.
    Lap,
    /// An upper plate ends on the top edge of a wall: the seam is the open notch between the upper
    /// plate's edge and the top of the wall, welded from outside.
    Corner,
    /// Two plates side by side with a gap: the seam is the middle of the gap, at its root.
    Butt(Gap),
}

/// The gap of a butt joint.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gap {
    /// Names of the bodies whose walls face each other across it: first the one that stands on the
    /// `plate` hand of the seam, to which a positive miss points.
    pub walls: [String; 2],
    /// Its width, from wall to wall, mm.
    pub gap_mm: f64,
}

impl Joint {
    /// How far the torch leans from upright while it welds, away from the side that a positive miss
    /// points to, degrees (common practice, no source).
    ///
    /// The work angle of a lap joint is often given as 60°: to the lower plate, as AWS A3.0 measures
    /// it (from memory), which is 30° from upright. Leant by 60° from upright the rim of a 24 mm nozzle
    /// would be in the lower plate: 15 · cos 60° − 12 · sin 60° = −2.9 mm. At 30° it clears it by 7.0 mm,
    /// at 45° by 2.1 mm.
    pub const fn work_angle_deg(&self) -> f64 {
        match self {
            Self::Fillet | Self::Corner => 45.0,
            Self::Lap => 30.0,
            Self::Butt(_) => 0.0,
        }
    }

    /// Which way a positive miss points, and a negative one.
    pub fn sides(&self) -> [String; 2] {
        let beside = |what: &str| ["towards", "away from"].map(|way| format!("{way} the {what}"));
        match self {
            Self::Fillet => beside("upright plate"),
            Self::Lap => beside("upper sheet"),
            Self::Corner => beside("upper plate"),
            Self::Butt(gap) => gap.walls.clone().map(|wall| format!("towards the {wall}")),
        }
    }
}
