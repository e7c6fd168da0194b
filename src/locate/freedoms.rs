use nalgebra::Vector3;
use serde::{Deserialize, Serialize};

/// How the part may have moved since the reference run.
///
/// The unknowns, in the order of every covariance and Jacobian, are listed by
/// [`Freedoms::unknowns`]. In files: `slide_one`, `slide_two`, `slide_turn`,
/// `slide_three`, `slide_three_turn`, `slide_tilt`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Freedoms {
    /// Slide one way: along the (parallel) searches. Unknown: `s`.
    SlideOne,
    /// Slide two ways on the table. Unknowns: `dx, dy`. Uses x and y only.
    SlideTwo,
    /// Slide and turn on the table. Unknowns: `dx, dy, theta`. Uses x and y only.
    SlideTurn,
    /// Slide three ways. Unknowns: `dx, dy, dz`.
    SlideThree,
    /// Slide three ways and turn about Z. Unknowns: `dx, dy, dz, theta`.
    SlideThreeTurn,
    /// Slide and tilt: all six. Unknowns: `dx, dy, dz, rx, ry, rz`.
    SlideTilt,
}

impl Freedoms {
    /// All values, those with fewest unknowns first.
    pub const ALL: [Self; 6] = [
        Self::SlideOne,
        Self::SlideTwo,
        Self::SlideTurn,
        Self::SlideThree,
        Self::SlideThreeTurn,
        Self::SlideTilt,
    ];

    /// Number of unknowns, which is also the least number of touches.
    pub const fn count(self) -> usize {
        self.unknowns().len()
    }

    /// Least number of touches that can determine the unknowns.
    pub const fn needed_touches(self) -> usize {
        self.count()
    }

    /// Names of the unknowns in the order of the covariance, as in files.
    /// Translations are of the frame origin, mm; angles are in degrees in files and
    /// in radians everywhere in the library.
    pub const fn unknowns(self) -> &'static [&'static str] {
        match self {
            Self::SlideOne => &["s"],
            Self::SlideTwo => &["dx", "dy"],
            Self::SlideTurn => &["dx", "dy", "theta_deg"],
            Self::SlideThree => &["dx", "dy", "dz"],
            Self::SlideThreeTurn => &["dx", "dy", "dz", "theta_deg"],
            Self::SlideTilt => &["dx", "dy", "dz", "rx_deg", "ry_deg", "rz_deg"],
        }
    }

    /// Name on screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::SlideOne => "slide one way",
            Self::SlideTwo => "slide two ways",
            Self::SlideTurn => "slide and turn",
            Self::SlideThree => "slide three ways",
            Self::SlideThreeTurn => "slide three ways and turn",
            Self::SlideTilt => "slide and tilt",
        }
    }

    /// Whether only x and y count: the part stays flat on the table.
    pub const fn is_planar(self) -> bool {
        matches!(self, Self::SlideTwo | Self::SlideTurn)
    }

    /// Whether the part may have turned.
    pub const fn turns(self) -> bool {
        matches!(self, Self::SlideTurn | Self::SlideThreeTurn | Self::SlideTilt)
    }

    /// `v` without its z if only x and y count.
    pub(crate) fn project(self, v: Vector3<f64>) -> Vector3<f64> {
        if self.is_planar() { Vector3::new(v.x, v.y, 0.0) } else { v }
    }
}
