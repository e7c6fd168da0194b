use super::Freedoms;
use nalgebra::{Point3, Vector3};

/// Two contacts on one face closer than this cannot tell a turn, mm. A search
/// repeats to about a tenth of this, so the angle would be mostly noise.
pub const MIN_BASELINE_MM: f64 = 1.0;

/// A search must meet its face at least this steeply: |normal · direction|.
/// Below it (under 6° between search and face) the contact runs off along the face.
pub const MIN_STEEPNESS: f64 = 0.1;

/// Layouts with a larger condition number at the taught contacts are refused.
/// Good ones have 1.5 to 3; at 10⁴ a hundredth of a millimetre becomes decimetres.
pub const MAX_CONDITION: f64 = 1e4;

/// Searches of *slide one way* are parallel when they agree to 1°.
pub const MAX_SEARCH_SPREAD_RAD: f64 = std::f64::consts::PI / 180.0;

/// Coordinates and lengths beyond this (mm) are taken for a slip.
pub const MAX_LENGTH_MM: f64 = 1e9;

/// What is wrong with a number that was handed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BadNumber {
    /// The search direction is not finite, has no length, or lies along Z although only x and y count.
    Search,
    /// The reference contact is not finite or absurdly far away.
    Reference,
    /// The current contact is not finite or absurdly far away.
    Current,
}

/// Why there is no answer: one reason, with the touch or face it is about.
///
/// Touches are counted from 0 in the order they were given; faces are the
/// labels of [`Touch::face`](super::Touch::face). [`LocateError::message`] words it
/// for a technician.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LocateError {
    /// A number of this touch cannot be used.
    #[error("touch {touch}: {what:?} is not usable")]
    BadInput {
        /// The touch.
        touch: usize,
        /// Which of its numbers.
        what: BadNumber,
    },
    /// The touch repeatability must be a positive number of millimetres.
    #[error("sigma {sigma_mm} mm is not a positive length")]
    BadSigma {
        /// What was given.
        sigma_mm: f64,
    },
    /// The search of this touch found nothing.
    #[error("touch {touch} has no current contact")]
    NoContact {
        /// The touch.
        touch: usize,
    },
    /// Fewer touches than unknowns.
    #[error("{} needs {needed} touches, got {got}", freedoms.label())]
    TooFew {
        /// What the part may have done.
        freedoms: Freedoms,
        /// Touches it takes.
        needed: usize,
        /// Touches there are.
        got: usize,
    },
    /// *Slide one way* with a search that is not parallel to the first.
    #[error("touch {touch} searches {angle} rad off the first search")]
    NotParallel {
        /// The touch.
        touch: usize,
        /// Angle between its search line and that of the first touch, radians.
        angle: f64,
    },
    /// Touches under one face label come from opposite sides.
    #[error("touches {first} and {other} on face {face} come from opposite sides")]
    FaceMismatch {
        /// The face label.
        face: usize,
        /// The first touch on it.
        first: usize,
        /// The touch that comes from the other side.
        other: usize,
    },
    /// All contacts taught on a face are in the same place.
    #[error("the {n_touches} touches on face {face} are {spread_mm} mm apart")]
    ShortBaseline {
        /// The face label.
        face: usize,
        /// The two farthest apart.
        touches: [usize; 2],
        /// How many touches the face has.
        n_touches: usize,
        /// Distance between those two, mm.
        spread_mm: f64,
        /// Distance that would hold the turn to 0.1° (one sigma), mm.
        advised_mm: f64,
    },
    /// The search runs nearly along the face it is to find.
    #[error("touch {touch} meets face {face} at {angle} rad")]
    Grazing {
        /// The face label.
        face: usize,
        /// The touch.
        touch: usize,
        /// Angle between the search and the face, radians.
        angle: f64,
    },
    /// No touch holds the part along this direction.
    #[error("nothing holds the part along {direction:?}")]
    FreeTranslation {
        /// Unit vector of the shift that changes no reading.
        direction: Vector3<f64>,
    },
    /// Turning about this axis changes no reading to first order.
    #[error("nothing holds the turn about {about:?}")]
    FreeRotation {
        /// A point of the axis (in the plane: the point where all normals meet), mm.
        about: Point3<f64>,
        /// Unit vector of the axis.
        axis: Vector3<f64>,
    },
    /// The best fit lies beyond a quarter turn or turns a face away from its search, or there are
    /// just as many touches as unknowns and no fit meets them all.
    #[error("no fit within a quarter turn of the taught part")]
    WrongSide {
        /// The touch whose face would look the other way, if one does.
        touch: Option<usize>,
        /// Rotation of the best fit, radians.
        rotation: f64,
    },
}

impl LocateError {
    /// The stable short name, as in case files.
    pub fn code(&self) -> &'static str {
        match self {
            Self::BadInput { .. } | Self::BadSigma { .. } => "bad_input",
            Self::NoContact { .. } => "no_contact",
            Self::TooFew { .. } => "too_few",
            Self::NotParallel { .. } => "not_parallel",
            Self::FaceMismatch { .. } => "face_mismatch",
            Self::ShortBaseline { .. } => "short_baseline",
            Self::Grazing { .. } => "grazing",
            Self::FreeTranslation { .. } => "free_shift",
            Self::FreeRotation { .. } => "free_rotation",
            Self::WrongSide { .. } => "wrong_side",
        }
    }
}
