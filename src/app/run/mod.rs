//! Under the sheet: the run, its time line, and the part's place.

mod caution;
mod controls;
mod hand;
mod nudge_view;
mod timeline;

pub(crate) use caution::{Caution, CautionDialog, safety_text};
pub(crate) use nudge_view::NudgePanel;
pub(crate) use timeline::{Timeline, play_frames};

use super::guide::StageLine;
use leptos::prelude::*;

/// Everything under the sheet.
#[component]
pub(crate) fn RunPanel() -> impl IntoView {
    view! {
        <section class="under-sheet">
            <StageLine/>
            <Timeline/>
            <controls::Controls/>
            <hand::Hand/>
            <NudgePanel/>
        </section>
    }
}
