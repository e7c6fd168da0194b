use crate::locate::{Freedom, LocateError};
use crate::text::Sentence;

/// Why the touches of a find give no forecast.
#[derive(Debug, Clone, PartialEq)]
pub struct NoForecast {
    /// The sentence for a technician.
    pub why: Sentence,
    /// The same in short.
    pub lack: Lack,
}

/// What the touches of a find lack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lack {
    /// This many touches.
    Touches(usize),
    /// A touch that tells this freedom.
    Of(Freedom),
    /// A distance between two touches on one face.
    Distance,
    /// Something that the sentence tells.
    Other,
}

impl From<&LocateError> for Lack {
    fn from(refusal: &LocateError) -> Self {
        match refusal {
            LocateError::TooFew { needed, got, .. } => Self::Touches(needed - got),
            LocateError::ShortBaseline { .. } => Self::Distance,
            LocateError::FreeTranslation { direction } => {
                Self::Of([Freedom::X, Freedom::Y, Freedom::Height][direction.iamax()])
            }
            LocateError::FreeRotation { axis, .. } => {
                Self::Of([Freedom::TiltX, Freedom::TiltY, Freedom::Turn][axis.iamax()])
            }
            _ => Self::Other,
        }
    }
}
