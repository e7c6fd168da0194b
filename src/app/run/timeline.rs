use super::controls::announce_end;
use crate::app::dom::{View, button, el, svg};
use crate::app::i18n::{Key, text};
use crate::app::logic::describe;
use crate::app::logic::number::{read, seconds};
use crate::app::logic::playback::{
    Playback, TOLD_FOR, moments, next_moment, pace, previous_moment,
};
use crate::app::screen::less_motion;
use crate::app::workspace::{Workspace, workspace};
use gloo::render::{AnimationFrame, request_animation_frame};
use leptos::prelude::*;
use nudgeproof::routine::{Event, EventKind, RunLog};

/// Moves the playback on with the browser's frames, as long as something plays. Who asked
/// for less motion sees the end at once, and steps through the key moments by the buttons.
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

fn next_frame(
    workspace: Workspace,
    frame: StoredValue<Option<AnimationFrame>, LocalStorage>,
    last: Option<f64>,
    at_once: bool,
) {
    let handle = request_animation_frame(move |now_ms| {
        let Some(playback) = workspace.playback.get_untracked().filter(|p| p.playing) else {
            return;
        };
        let dt = last.map_or(0.0, |l| (now_ms - l) / 1000.0);
        let shown = if at_once {
            Playback::at(playback.run, playback.until, playback.until)
        } else {
            let rate = workspace.rate.get_untracked();
            let rate =
                untrack(|| workspace.on_show()).map_or(rate, |(log, p)| pace(&log, p.t, rate));
            playback.advance(dt.min(0.1), rate)
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
fn happening(workspace: Workspace, log: &RunLog, t: f64) -> String {
    let told = |e: &&Event| e.time <= t + 1e-9 && t - e.time < TOLD_FOR;
    let last = log.events.iter().rev().find(told);
    if let Some(event) = last {
        return describe::event(log, event);
    }
    let routine = workspace.routine();
    log.step_at(t)
        .and_then(|id| routine.index_of(id))
        .map(|i| describe::step_text(&routine.steps[i].instruction))
        .unwrap_or_default()
}

/// The run's time line: scrub it, and torch, step and touch go to that moment.
pub(crate) fn timeline() -> View {
    let workspace = workspace();
    let log = Memo::new(move |_| workspace.shown_run());
    let duration = move || (*log.read()).as_ref().map_or(0.0, |l| l.duration);
    let t = move || workspace.playback.slow().map_or_else(duration, |p| p.t);
    let go = move |to: f64| {
        let state = workspace.state_untracked();
        let playback = workspace.playback.get_untracked();
        let run = playback.map_or(state.runs.len().saturating_sub(1), |p| p.run);
        if let Some(log) = state.runs.get(run) {
            workspace.playback.set(Some(Playback::at(run, to, log.duration)));
        }
    };
    let hop = move |pick: fn(&[f64], f64) -> f64| {
        move || {
            let now = workspace.playback.get_untracked().map_or_else(|| untrack(duration), |p| p.t);
            if let Some(log) = log.get_untracked() {
                go(pick(&moments(&log), now));
            }
        }
    };
    let none = move || log.read().is_none();
    let happens = Memo::new(move |_| {
        workspace.shown_so_far().map(|(log, t)| happening(workspace, &log, t)).unwrap_or_default()
    });
    // While a run plays nobody listens to every moment of it: it is told of at its beats.
    let value_text = move || {
        let t = workspace.playback.beat().map_or_else(duration, |p| p.t);
        format!("{}, {}", seconds(t), happens.get())
    };
    el("div")
        .class("timeline")
        .test_id("timeline")
        .child(
            button("moment-back")
                .attr("disabled", none)
                .attr("aria-label", Key::MomentBack)
                .click(hop(previous_moment))
                .text("◂"),
        )
        .child(
            el("div")
                .class("track")
                .child(
                    svg("svg")
                        .class("marks")
                        .attr("viewBox", "0 0 1000 18")
                        .attr("preserveAspectRatio", "none")
                        .attr("aria-hidden", "true")
                        .child(move || {
                            log.get().map(|l| {
                                l.events
                                    .iter()
                                    .map(|e| {
                                        let x = e.time / l.duration.max(1e-9) * 1000.0;
                                        svg("path").class(mark_class(e)).attr("d", mark_shape(e, x))
                                    })
                                    .collect::<Vec<_>>()
                            })
                        }),
                )
                .child(
                    el("input")
                        .attr("type", "range")
                        .test_id("run-time")
                        .attr("min", "0")
                        .attr("step", "0.01")
                        .attr("aria-label", Key::TimeLine)
                        .attr("aria-valuetext", value_text)
                        .attr("disabled", none)
                        .attr("max", move || duration().to_string())
                        .on("input", move |event: web_sys::Event| {
                            go(read(&event_target_value(&event)).unwrap_or_default());
                        })
                        .value(move || t().to_string()),
                ),
        )
        .child(
            button("moment-on")
                .attr("disabled", none)
                .attr("aria-label", Key::MomentOn)
                .click(hop(next_moment))
                .text("▸"),
        )
        .child(el("output").class("moment").test_id("moment").text(move || {
            if none() {
                text(Key::NoRunYet).to_owned()
            } else {
                format!("{} · {}", seconds(t()), happens.get())
            }
        }))
}
