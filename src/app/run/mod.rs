//! Under the sheet: the run with its time line, the torch in hand, and the place of the part.

mod caution;
mod controls;
mod nudge_panel;
mod playing;
mod start;
mod time_line;
mod torch_panel;

pub(crate) use caution::{Caution, CautionDialog, safety_text};
pub(crate) use nudge_panel::NudgePanel;
pub(crate) use playing::play_frames;
pub(crate) use time_line::TimeLine;

use super::lessons::StageLine;
use controls::RunControls;
use leptos::prelude::*;
use torch_panel::TorchPanel;

/// Everything under the sheet.
#[component]
pub(crate) fn RunPanel() -> impl IntoView {
    view! {
        <section class="under-sheet">
            <StageLine />
            <TimeLine />
            <RunControls />
            <TorchPanel />
            <NudgePanel />
        </section>
    }
    .into_any()
}
