//! Plays the run on show, frame by frame.

use super::start::announce_end;
use crate::app::logic::playback::{Pacing, Playback};
use crate::app::screen::less_motion;
use crate::app::workspace::Workspace;
use gloo::render::{AnimationFrame, request_animation_frame};
use leptos::prelude::*;

/// Moves the playback on with the browser's frames while a run plays. For viewers who asked for less
/// motion it goes to the end at once: they step through the key moments by the buttons.
pub(crate) fn play_frames(workspace: Workspace) {
    let frame = StoredValue::new_local(None::<AnimationFrame>);
    let pacing = Memo::new(move |_| {
        let rate = workspace.rate.get();
        workspace.log_on_show().map(|log| Pacing::new(&log, rate))
    });
    Effect::new(move || {
        if workspace.playback.playing() {
            next_frame(workspace, frame, pacing, None, less_motion());
        } else {
            frame.set_value(None);
        }
    });
}

/// Asks for the next frame; `last_ms` is the time of the frame before, ms.
fn next_frame(
    workspace: Workspace,
    frame: StoredValue<Option<AnimationFrame>, LocalStorage>,
    pacing: Memo<Option<Pacing>>,
    last_ms: Option<f64>,
    at_once: bool,
) {
    let handle = request_animation_frame(move |now_ms| {
        let Some(playback) = workspace.playback.get_untracked().filter(|p| p.playing) else {
            return;
        };
        let dt = last_ms.map_or(0.0, |last| (now_ms - last) / 1000.0);
        let shown = match &*pacing.read_untracked() {
            Some(pacing) if !at_once => playback.advance(dt.min(LONGEST_FRAME), pacing),
            _ => Playback::at(playback.run, playback.until, playback.until),
        };
        workspace.playback.set(Some(shown));
        if shown.playing {
            next_frame(workspace, frame, pacing, Some(now_ms), at_once);
        } else {
            announce_end(workspace);
        }
    });
    frame.set_value(Some(handle));
}

/// Longest time that one frame moves the playback on, s: a page that was in the background does not
/// jump ahead.
const LONGEST_FRAME: f64 = 0.1;
