use nalgebra::Point2;
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use thiserror::Error;

/// Greatest distance between a rounded corner and the chords that replace it, mm.
///
/// A fiftieth of the default touch repeatability (0.10 mm): no reading shows the difference.
pub const CHORD_TOLERANCE_MM: f64 = 0.002;

/// Most corners an outline may have: far above any drawing, low enough to check at once.
pub const MAX_CORNERS: usize = 1000;
/// Greatest coordinate, mm: ten metres, beyond the reach of any arm.
pub const MAX_COORDINATE_MM: f64 = 10_000.0;

/// One corner of an outline: `[x, y]` or `[x, y, radius]` in files, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutlineCorner {
    /// Where the two straight edges would meet, mm.
    pub at: Point2<f64>,
    /// Radius of the rounding, mm; 0 is a sharp corner.
    pub radius: f64,
}

impl Serialize for OutlineCorner {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let all = [self.at.x, self.at.y, self.radius];
        all[..if self.radius == 0.0 { 2 } else { 3 }].serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for OutlineCorner {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match Vec::<f64>::deserialize(deserializer)?[..] {
            [x, y] => Ok(Self { at: Point2::new(x, y), radius: 0.0 }),
            [x, y, radius] => Ok(Self { at: Point2::new(x, y), radius }),
            ref other => {
                Err(D::Error::invalid_length(other.len(), &"a corner as [x, y] or [x, y, radius]"))
            }
        }
    }
}

/// A closed outline on the plan: corners in order, straight edges between them,
/// corners sharp or rounded. The last corner joins the first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Outline {
    /// The corners in order, clockwise or counter-clockwise.
    pub corners: Vec<OutlineCorner>,
}

impl Outline {
    /// An outline of sharp corners.
    pub fn sharp(corners: &[[f64; 2]]) -> Self {
        Self {
            corners: corners
                .iter()
                .map(|c| OutlineCorner { at: Point2::from(*c), radius: 0.0 })
                .collect(),
        }
    }

    /// A rectangle from its lower left to its upper right corner.
    pub fn rectangle(lo: [f64; 2], hi: [f64; 2]) -> Self {
        Self::sharp(&[lo, [hi[0], lo[1]], hi, [lo[0], hi[1]]])
    }

    /// Lower left and upper right of the box around the corners, mm. Roundings lie within it.
    pub fn bounds(&self) -> (Point2<f64>, Point2<f64>) {
        let mut lo = Point2::new(f64::INFINITY, f64::INFINITY);
        let mut hi = -lo;
        for c in &self.corners {
            lo = lo.inf(&c.at);
            hi = hi.sup(&c.at);
        }
        (lo, hi)
    }

    /// Corner before `i`, corner `i`, corner after `i`.
    pub(super) fn around(&self, i: usize) -> [&OutlineCorner; 3] {
        let n = self.corners.len();
        [(i + n - 1) % n, i, (i + 1) % n].map(|k| &self.corners[k])
    }
}

/// Why an outline cannot be used.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum OutlineError {
    /// Fewer than three corners.
    #[error("an outline needs at least 3 corners, and this one has {0}")]
    TooFewCorners(usize),
    /// More corners than [`MAX_CORNERS`].
    #[error("an outline may have at most {max} corners, and this one has {0}", max = MAX_CORNERS)]
    TooManyCorners(usize),
    /// A coordinate or radius is not a finite number or beyond [`MAX_COORDINATE_MM`], or a
    /// radius is negative.
    #[error(
        "corner {0} needs finite coordinates within ±{max} mm and a radius from 0 to {max} mm",
        max = MAX_COORDINATE_MM
    )]
    BadNumber(usize),
    /// Two neighbours are the same point.
    #[error("corners {0} and {1} are the same point")]
    SamePoint(usize, usize),
    /// The rounding does not fit on the edges beside it.
    #[error("the radius at corner {0} does not fit on the edges beside it")]
    RadiusTooLarge(usize),
    /// Two edges cross.
    #[error("the edges after corners {0} and {1} cross")]
    Crossing(usize, usize),
    /// The corners enclose nothing.
    #[error("the corners lie on one line")]
    NoArea,
}
