//! Plays the run on show, frame by frame.

use super::start::announce_end;
use crate::app::logic::playback::{Playback, pace};
use crate::app::screen::less_motion;
use crate::app::workspace::Workspace;
use gloo::render::{AnimationFrame, request_animation_frame};
use leptos::prelude::*;

/// Moves the playback on with the browser's frames while a run plays. For viewers who asked for less
/// motion it goes to the end at once: they step through the key moments by the buttons.
pub(crate) fn play_frames(workspace: Workspace) {
    let frame = StoredValue::new_local(None::<AnimationFrame>);
    Effect::new(move || {
        if workspace.playback.playing() {
            next_frame(workspace, frame, None, less_motion());
        } else {
            frame.set_value(None);
        }
    });
}

/// Asks for the next frame; `last_ms` is the time of the frame before, ms.
fn next_frame(
    workspace: Workspace,
    frame: StoredValue<Option<AnimationFrame>, LocalStorage>,
    last_ms: Option<f64>,
    at_once: bool,
) {
    let handle = request_animation_frame(move |now_ms| {
        let Some(playback) = workspace.playback.get_untracked().filter(|p| p.playing) else {
            return;
        };
        let dt = last_ms.map_or(0.0, |last| (now_ms - last) / 1000.0);
        let shown = if at_once {
            Playback::at(playback.run, playback.until, playback.until)
        } else {
            let rate = workspace.rate.get_untracked();
            let rate =
                untrack(|| workspace.on_show()).map_or(rate, |(log, p)| pace(&log, p.t, rate));
            playback.advance(dt.min(LONGEST_FRAME), rate)
        };
        workspace.playback.set(Some(shown));
        if shown.playing {
            next_frame(workspace, frame, Some(now_ms), at_once);
        } else {
            announce_end(workspace);
        }
    });
    frame.set_value(Some(handle));
}

/// Longest time that one frame moves the playback on, s: a page that was in the background does not
/// jump ahead.
const LONGEST_FRAME: f64 = 0.1;
