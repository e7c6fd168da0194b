use crate::locate::{Freedom, Freedoms, LocateError};
use crate::text::{Sentence, say};

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
    /// Nothing: but the fixture leaves more free than any find asks for.
    LeftOut(Freedoms),
    /// Something that the sentence tells.
    Other,
}

impl NoForecast {
    /// Why there is none where these freedoms are left out: nobody knows where the part goes in them.
    pub(super) fn left_out(freedoms: Freedoms) -> Self {
        Self { why: say::left_out(freedoms.said()), lack: Lack::LeftOut(freedoms) }
    }
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
