use super::Dimension;
use Dimension as D;
use serde::{Deserialize, Serialize};
use strum::{IntoStaticStr, VariantArray};

/// What kind of part it is. Each is drawn with its lower left corner at the origin, seams along X, and the
/// torch in front of them.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Hash,
    Default,
    Serialize,
    Deserialize,
    IntoStaticStr,
    VariantArray,
)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Template {
    /// A plate with a rail upright on it: a fillet.
    #[default]
    Rail,
    /// A plate with an angle on it, welded along the toe of the leg that lies flat: a lap joint.
    Angle,
    /// A frame of four members with an upright rib on each long one: two fillets.
    Frame,
    /// A rectangular tube that lies, with a hole through its top and bottom and a lug upright on it: a
    /// fillet.
    Tube,
    /// A plate with a sheet flat on it: a lap joint.
    Lap,
    /// Two bars side by side on a backing strip: a butt joint.
    Butt,
}

const JOINT: [D; 2] = [D::WorkAngle, D::Tolerance];
const PLAY: [D; 4] = [D::PlayX, D::PlayY, D::PlayTurn, D::PlayHeight];
const CLAMPS: [D; 2] = [D::ClampDistance, D::ClampHeight];

impl Template {
    /// All, in the order in which they are offered.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// Its name in files of tests and on the page, in kebab-case.
    pub fn id(self) -> &'static str {
        self.into()
    }

    /// What it asks for, in order, with a common value of each: the limits of each go by those before it.
    pub fn dimensions(self) -> Vec<(Dimension, f64)> {
        let own: &[(D, f64)] = match self {
            Self::Rail => &[
                (D::Length, 400.0),
                (D::Width, 250.0),
                (D::Thickness, 12.0),
                (D::PieceThickness, 10.0),
                (D::PieceHeight, 12.0),
                (D::PieceFromFront, 150.0),
                (D::PieceFromLeft, 50.0),
                (D::PieceLength, 300.0),
            ],
            Self::Angle => &[
                (D::Length, 400.0),
                (D::Width, 200.0),
                (D::Thickness, 12.0),
                (D::PieceThickness, 4.0),
                (D::PieceFromFront, 90.0),
                (D::PieceWidth, 40.0),
                (D::PieceHeight, 30.0),
                (D::PieceFromLeft, 50.0),
                (D::PieceLength, 300.0),
            ],
            Self::Frame => &[
                (D::Length, 600.0),
                (D::Width, 400.0),
                (D::Thickness, 10.0),
                (D::MemberWidth, 80.0),
                (D::PieceThickness, 8.0),
                (D::PieceHeight, 12.0),
                (D::PieceFromLeft, 100.0),
                (D::PieceLength, 400.0),
            ],
            Self::Tube => &[
                (D::Length, 400.0),
                (D::Width, 100.0),
                (D::Thickness, 60.0),
                (D::HoleDiameter, 40.0),
                (D::HoleFromRight, 70.0),
                (D::PieceThickness, 8.0),
                (D::PieceHeight, 12.0),
                (D::PieceFromFront, 50.0),
                (D::PieceFromLeft, 40.0),
                (D::PieceLength, 220.0),
            ],
            Self::Lap => &[
                (D::Length, 360.0),
                (D::Width, 240.0),
                (D::Thickness, 10.0),
                (D::PieceThickness, 4.0),
                (D::PieceFromFront, 110.0),
                (D::PieceWidth, 110.0),
                (D::PieceFromLeft, 40.0),
                (D::PieceLength, 280.0),
            ],
            Self::Butt => {
                &[(D::Length, 300.0), (D::BarWidth, 60.0), (D::Thickness, 10.0), (D::Gap, 10.0)]
            }
        };
        let own = own.iter().copied();
        let more = JOINT.into_iter().chain(PLAY).chain(CLAMPS);
        own.chain(more.filter(|d| self.has(*d)).map(|d| (d, self.usual(d)))).collect()
    }

    /// A groove is felt from inside: no touch of it sees a height.
    fn has(self, dimension: Dimension) -> bool {
        !(self == Self::Butt && dimension == D::PlayHeight)
    }

    /// Common values of what every template asks for (common practice, no source).
    fn usual(self, dimension: Dimension) -> f64 {
        match dimension {
            D::WorkAngle => match self {
                Self::Angle | Self::Lap => 30.0,
                Self::Butt => 0.0,
                Self::Rail | Self::Frame | Self::Tube => 45.0,
            },
            D::Tolerance => 0.6,
            D::PlayX => 5.0,
            D::PlayY => {
                if self == Self::Butt {
                    2.0
                } else {
                    5.0
                }
            }
            D::PlayTurn => {
                if self == Self::Butt {
                    0.3
                } else {
                    1.0
                }
            }
            D::ClampDistance => 20.0,
            D::ClampHeight => 40.0,
            _ => 0.0,
        }
    }
}
