//! The run bar under the sheet; the torch in hand and the place of the part beside it.

mod caution;
mod controls;
mod nudge_panel;
mod playing;
mod start;
mod time_line;
mod torch_panel;

pub(crate) use caution::{Caution, CautionDialog, safety_text};
pub(crate) use controls::{RateChoice, RunBar};
pub(crate) use nudge_panel::NudgePanel;
pub(crate) use playing::play_frames;
pub(crate) use torch_panel::TorchPanel;
