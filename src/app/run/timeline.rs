use super::controls::announce_end;
use crate::app::desk::{Desk, desk};
use crate::app::live::{effect, memo};
use crate::app::logic::describe;
use crate::app::logic::number::seconds;
use crate::app::logic::playback::{
    Playback, TOLD_FOR, moments, next_moment, pace, previous_moment,
};
use crate::app::screen::less_motion;
use crate::app::words::{Word, say};
use gloo::render::{AnimationFrame, request_animation_frame};
use leptos::prelude::*;
use nudgeproof::routine::{Event, EventKind, RunLog};

/// Moves the playback on with the browser's frames, as long as something plays. Who asked
/// for less motion sees the end at once, and steps through the key moments by the buttons.
pub(crate) fn play_frames(desk: Desk) {
    let frame = StoredValue::new_local(None::<AnimationFrame>);
    effect(move || {
        if desk.playback.playing() {
            next_frame(desk, frame, None, less_motion());
        } else {
            frame.set_value(None);
        }
    });
}

fn next_frame(
    desk: Desk,
    frame: StoredValue<Option<AnimationFrame>, LocalStorage>,
    last: Option<f64>,
    at_once: bool,
) {
    let handle = request_animation_frame(move |now_ms| {
        let Some(playback) = desk.playback.get_untracked().filter(|p| p.playing) else { return };
        let dt = last.map_or(0.0, |l| (now_ms - l) / 1000.0);
        let shown = if at_once {
            Playback::at(playback.run, playback.until, playback.until)
        } else {
            let rate = desk.rate.get_untracked();
            let rate = untrack(|| desk.on_show()).map_or(rate, |(log, p)| pace(&log, p.t, rate));
            playback.advance(dt.min(0.1), rate)
        };
        desk.playback.set(Some(shown));
        if shown.playing {
            next_frame(desk, frame, Some(now_ms), at_once);
        } else {
            announce_end(desk);
        }
    });
    frame.set_value(Some(handle));
}

/// How an event is marked on the time line.
fn mark_class(event: &Event) -> &'static str {
    match event.what {
        EventKind::Touched { .. } => "mark touched",
        EventKind::Crash { .. }
        | EventKind::WireBent { .. }
        | EventKind::SearchFailed { .. }
        | EventKind::OffsetRefused { .. }
        | EventKind::CannotDo { .. }
        | EventKind::HomeCarried { .. } => "mark trouble",
        EventKind::ArcOn | EventKind::ArcOff => "mark arc",
        _ => "mark",
    }
}

/// What an event's mark looks like: its shape tells it apart, at `x` of 1000.
fn mark_shape(event: &Event, x: f64) -> String {
    match mark_class(event) {
        "mark touched" => format!("M{x} 2v14m-3 -14h6"),
        "mark trouble" => format!("M{x} 2l5 12h-10z"),
        "mark arc" => format!("M{} 3l-4 6h4l-3 6", x + 2.0),
        _ => format!("M{x} 5l4 4l-4 4l-4 -4z"),
    }
}

/// What is happening at a moment of the run.
fn happening(desk: Desk, log: &RunLog, t: f64) -> String {
    let told = |e: &&Event| e.time <= t + 1e-9 && t - e.time < TOLD_FOR;
    let last = log.events.iter().rev().find(told);
    if let Some(event) = last {
        return describe::event(log, event);
    }
    let routine = desk.routine();
    log.step_at(t)
        .and_then(|id| routine.index_of(id))
        .map(|i| describe::step_text(&routine.steps[i].act))
        .unwrap_or_default()
}

/// The run's time line: scrub it, and torch, step and touch go to that moment.
#[component]
pub(crate) fn Timeline() -> impl IntoView {
    let desk = desk();
    let log = memo(move || desk.shown_run());
    let duration = move || (*log.read()).as_ref().map_or(0.0, |l| l.duration);
    let t = move || desk.playback.slow().map_or_else(duration, |p| p.t);
    let go = move |to: f64| {
        let state = desk.peek();
        let playback = desk.playback.get_untracked();
        let run = playback.map_or(state.runs.len().saturating_sub(1), |p| p.run);
        if let Some(log) = state.runs.get(run) {
            desk.playback.set(Some(Playback::at(run, to, log.duration)));
        }
    };
    let hop = move |pick: fn(&[f64], f64) -> f64| {
        move |_| {
            let now = desk.playback.get_untracked().map_or_else(|| untrack(duration), |p| p.t);
            if let Some(log) = log.get_untracked() {
                go(pick(&moments(&log), now));
            }
        }
    };
    let none = move || log.read().is_none();
    let text = memo(move || {
        desk.shown_so_far().map(|(log, t)| happening(desk, &log, t)).unwrap_or_default()
    });
    // While a run plays nobody listens to every moment of it: it is told of at its beats.
    let value_text = move || {
        let t = desk.playback.beat().map_or_else(duration, |p| p.t);
        format!("{}, {}", seconds(t), text.get())
    };
    view! {
        <div class="timeline" data-testid="timeline">
            <button type="button" data-testid="moment-back" disabled=none
                aria-label=say(Word::MomentBack) on:click=hop(previous_moment)>"◂"</button>
            <div class="track">
                <svg class="marks" viewBox="0 0 1000 18" preserveAspectRatio="none" aria-hidden="true">
                    {move || log.get().map(|l| l.events.iter().map(|e| {
                        let x = e.time / l.duration.max(1e-9) * 1000.0;
                        view! { <path class=mark_class(e) d=mark_shape(e, x)/> }
                    }).collect_view())}
                </svg>
                <input type="range" data-testid="run-time" min="0" step="0.01"
                    aria-label=say(Word::TimeLine)
                    aria-valuetext=value_text
                    disabled=none
                    prop:max=move || duration().to_string()
                    prop:value=move || t().to_string()
                    on:input:target=move |event| go(event.target().value_as_number())
                />
            </div>
            <button type="button" data-testid="moment-on" disabled=none
                aria-label=say(Word::MomentOn) on:click=hop(next_moment)>"▸"</button>
            <output class="moment" data-testid="moment">
                {move || if none() {
                    say(Word::NoRunYet).to_owned()
                } else {
                    format!("{} · {}", seconds(t()), text.get())
                }}
            </output>
        </div>
    }
}
