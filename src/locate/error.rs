use super::Freedoms;
use nalgebra::{Point3, Vector3};

/// Least distance of two contacts on one face for measuring a turn, mm. A search
/// repeats to about a tenth of this: closer together, the angle would be mostly noise.
pub const MIN_BASELINE_MM: f64 = 1.0;

/// Least |normal · search direction|, the sine of the angle between search and face (6°).
/// Below it the contact runs off along the face.
pub const MIN_STEEPNESS: f64 = 0.1;

/// Greatest accepted condition number at the taught contacts.
/// Good layouts have 1.5 to 3; at 10⁴ an error of 0.01 mm becomes decimetres.
pub const MAX_CONDITION: f64 = 1e4;

/// Greatest angle between the searches of *slide one way*, radians: 1°.
pub const MAX_SEARCH_SPREAD_RAD: f64 = std::f64::consts::PI / 180.0;

/// Greatest accepted coordinate or length, mm.
pub const MAX_LENGTH_MM: f64 = 1e9;

/// Which number of a touch cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BadNumber {
    /// The search direction is not finite, has no length, or is along Z although only x and y count.
    Search,
    /// The reference contact is not finite or beyond [`MAX_LENGTH_MM`].
    Reference,
    /// The current contact is not finite or beyond [`MAX_LENGTH_MM`].
    Current,
}

/// Why the part cannot be located: the first reason found.
///
/// Touches are counted from 0 in the order they were given; faces are the
/// labels of [`Touch::face`](super::Touch::face). [`LocateError::message`] is the
/// sentence for a technician.
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
        /// The value given, mm.
        sigma_mm: f64,
    },
    /// The search of this touch found nothing.
    #[error("touch {touch} has no current contact")]
    NoContact {
        /// The touch.
        touch: usize,
    },
    /// There is nothing to solve for.
    #[error("no freedom to solve for")]
    NoFreedom,
    /// Fewer touches than unknowns.
    #[error("{} takes {needed} touches, got {got}", freedoms.label())]
    TooFew {
        /// How the part may have moved.
        freedoms: Freedoms,
        /// Least number of touches.
        needed: usize,
        /// Number of touches given.
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
    /// The contacts taught on a face are too close together to measure a turn.
    #[error("the {n_touches} touches on face {face} are {spread_mm} mm apart")]
    ShortBaseline {
        /// The face label.
        face: usize,
        /// The two farthest apart.
        touches: [usize; 2],
        /// Number of touches on the face.
        n_touches: usize,
        /// Distance between those two, mm.
        spread_mm: f64,
        /// Distance at which the standard deviation of the turn would be 0.1°, mm.
        advised_mm: f64,
    },
    /// The search runs nearly parallel to its face.
    #[error("touch {touch} meets face {face} at {angle} rad")]
    Grazing {
        /// The face label.
        face: usize,
        /// The touch.
        touch: usize,
        /// Angle between the search and the face, radians.
        angle: f64,
    },
    /// No touch determines the translation along this direction.
    #[error("nothing holds the part along {direction:?}")]
    FreeTranslation {
        /// Unit vector, work frame: translating along it changes no reading.
        direction: Vector3<f64>,
    },
    /// Turning about this axis changes no reading to first order.
    #[error("nothing holds the turn about {about:?}")]
    FreeRotation {
        /// A point of the axis (in the plane: the point where all normals meet); work frame, mm.
        about: Point3<f64>,
        /// Unit vector of the axis, work frame.
        axis: Vector3<f64>,
    },
    /// The best fit is beyond a quarter turn or turns a face away from its search, or there are
    /// exactly as many touches as unknowns and no fit meets them all.
    #[error("no fit within a quarter turn of the taught part")]
    WrongSide {
        /// The touch whose face would be met from behind, if there is one.
        touch: Option<usize>,
        /// Rotation of the best fit, radians.
        rotation: f64,
    },
}

impl LocateError {
    /// Stable short name, as in case files.
    pub fn code(&self) -> &'static str {
        match self {
            Self::BadInput { .. } | Self::BadSigma { .. } | Self::NoFreedom => "bad_input",
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
