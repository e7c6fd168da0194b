//! Under the sheet: the run, its time line, and the part's place.

mod caution;
mod controls;
mod hand;
mod nudge_view;
mod timeline;

pub(crate) use caution::{Caution, caution_dialog, safety_text};
pub(crate) use nudge_view::nudge_panel;
pub(crate) use timeline::{play_frames, timeline};

use super::dom::{View, el};
use super::lessons::stage_line;

/// Everything under the sheet.
pub(crate) fn run_panel() -> View {
    el("section")
        .class("under-sheet")
        .child(stage_line())
        .child(timeline())
        .child(controls::controls())
        .child(hand::hand())
        .child(nudge_panel())
}
