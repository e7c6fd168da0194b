use crate::app::i18n::{Key, text};
use crate::app::logic::describe;
use crate::app::logic::event_mark::EventMark;
use crate::app::logic::number::{read, seconds};
use crate::app::logic::playback::{Playback, moments, next_moment, previous_moment};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::routine::RunLog;
use std::sync::Arc;

/// The time line of the run on show: moving it moves torch, step and touches to that moment.
#[component]
pub(crate) fn TimeLine() -> impl IntoView {
    let workspace = workspace();
    let log = Memo::new(move |_| workspace.shown_run());
    let duration = Memo::new(move |_| log.read().as_ref().map_or(0.0, |l| l.duration));
    let none = Memo::new(move |_| log.read().is_none());
    let t = Memo::new(move |_| workspace.playback.slow().map_or_else(|| duration.get(), |p| p.t));
    let happening = Memo::new(move |_| {
        let shown = workspace.shown_so_far();
        shown.map(|(log, t)| describe::moment(&log, &workspace.routine(), t)).unwrap_or_default()
    });
    let go = move |to: f64| {
        let state = workspace.state_untracked();
        let playback = workspace.playback.get_untracked();
        let run = playback.map_or(state.runs.len().saturating_sub(1), |p| p.run);
        if let Some(log) = state.runs.get(run) {
            workspace.playback.set(Some(Playback::at(run, to, log.duration)));
        }
    };
    let hop = move |pick: fn(&[f64], f64) -> f64| {
        let now =
            workspace.playback.get_untracked().map_or_else(|| duration.get_untracked(), |p| p.t);
        if let Some(log) = log.get_untracked() {
            go(pick(&moments(&log), now));
        }
    };
    // While a run plays, a screen reader is told of its beats and not of every moment.
    let value_text = move || {
        let t = workspace.playback.beat().map_or_else(|| duration.get(), |p| p.t);
        format!("{}, {}", seconds(t), happening.read())
    };
    let moment = move || {
        if none.get() {
            text(Key::NoRunYet).to_owned()
        } else {
            format!("{} · {}", seconds(t.get()), happening.read())
        }
    };
    view! {
        <div class="timeline" data-testid="timeline">
            <button
                type="button"
                data-testid="moment-back"
                disabled=none
                aria-label=text(Key::MomentBack)
                on:click=move |_| hop(previous_moment)
            >
                "◂"
            </button>
            <div class="track">
                <EventMarks log />
                <input
                    type="range"
                    data-testid="run-time"
                    min="0"
                    step="0.01"
                    max=move || duration.get().to_string()
                    aria-label=text(Key::TimeLine)
                    aria-valuetext=value_text
                    disabled=none
                    prop:value=move || t.get().to_string()
                    on:input:target=move |event| go(read(&event.target().value()).unwrap_or_default())
                />
            </div>
            <button
                type="button"
                data-testid="moment-on"
                disabled=none
                aria-label=text(Key::MomentOn)
                on:click=move |_| hop(next_moment)
            >
                "▸"
            </button>
            <output class="moment" data-testid="moment">
                {moment}
            </output>
        </div>
    }
}

/// A mark for each event of the run, along the time line.
#[component]
fn EventMarks(log: Memo<Option<Arc<RunLog>>>) -> impl IntoView {
    let marks = move || {
        let log = log.get()?;
        let mark = |(x, mark): (f64, EventMark)| {
            view! { <path class=mark.class() d=mark.path(x)></path> }
        };
        Some(EventMark::of_run(&log).map(mark).collect_view())
    };
    view! {
        <svg
            class="marks"
            viewBox="0 0 1000 18"
            preserveAspectRatio="none"
            aria-hidden="true"
        >
            {marks}
        </svg>
    }
}
