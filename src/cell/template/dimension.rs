use serde::{Deserialize, Serialize};
use strum::{IntoStaticStr, VariantArray};

/// One number of a template. Lengths are mm, angles degrees.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    IntoStaticStr,
    VariantArray,
)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Dimension {
    /// Along X: plate, frame, tube or bars.
    Length,
    /// Along Y: plate, frame or tube.
    Width,
    /// Of the plate, the frame or the bars; of a tube, its height.
    Thickness,
    /// Along Y, of each of the four members of a frame, and along X.
    MemberWidth,
    /// Along Y, of each of two bars.
    BarWidth,
    /// Between the two bars.
    Gap,
    /// Of the hole in a tube.
    HoleDiameter,
    /// From the right end of the tube to the middle of the hole.
    HoleFromRight,
    /// Of what is welded on, across the seam or, of a sheet, upwards.
    PieceThickness,
    /// Of what is welded on, above what it stands on.
    PieceHeight,
    /// From the front edge to the seam.
    PieceFromFront,
    /// Across the seam: of a sheet, or of the leg of an angle that lies flat.
    PieceWidth,
    /// From the left edge to what is welded on.
    PieceFromLeft,
    /// Along the seam, of what is welded on.
    PieceLength,
    /// Lean of the torch from upright while it welds.
    WorkAngle,
    /// Greatest allowed seam miss, either way.
    Tolerance,
    /// How far the part may lie off along X, either way.
    PlayX,
    /// Along Y.
    PlayY,
    /// Turned, either way.
    PlayTurn,
    /// In height, either way.
    PlayHeight,
    /// From the part as drawn to the clamps.
    ClampDistance,
    /// Of the clamps, above the table.
    ClampHeight,
}

/// What dimensions belong together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Section {
    /// What lies on the table.
    Base,
    /// What is welded on it.
    Piece,
    /// The joint.
    Joint,
    /// How far the part may lie off.
    Play,
    /// What holds it.
    Clamps,
}

impl Section {
    /// In the order in which they are filled in.
    pub const ALL: [Self; 5] = [Self::Base, Self::Piece, Self::Joint, Self::Play, Self::Clamps];
}

impl Dimension {
    /// Its name in files of tests and on the page, in kebab-case.
    pub fn id(self) -> &'static str {
        self.into()
    }

    /// What it belongs to.
    pub const fn section(self) -> Section {
        match self {
            Self::Length
            | Self::Width
            | Self::Thickness
            | Self::MemberWidth
            | Self::BarWidth
            | Self::Gap
            | Self::HoleDiameter
            | Self::HoleFromRight => Section::Base,
            Self::PieceThickness
            | Self::PieceHeight
            | Self::PieceFromFront
            | Self::PieceWidth
            | Self::PieceFromLeft
            | Self::PieceLength => Section::Piece,
            Self::WorkAngle | Self::Tolerance => Section::Joint,
            Self::PlayX | Self::PlayY | Self::PlayTurn | Self::PlayHeight => Section::Play,
            Self::ClampDistance | Self::ClampHeight => Section::Clamps,
        }
    }

    /// Whether it is an angle; lengths are all others.
    pub const fn is_angle(self) -> bool {
        matches!(self, Self::WorkAngle | Self::PlayTurn)
    }

    /// Its unit in the program and in files.
    pub const fn unit(self) -> &'static str {
        if self.is_angle() { "degrees" } else { "mm" }
    }
}
