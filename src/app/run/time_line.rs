use crate::app::i18n::{Key, text};
use crate::app::logic::number::{read, seconds};
use crate::app::logic::playback::{Moment, Playback, moments, next_moment, previous_moment};
use crate::app::logic::time_line::{
    AFTER, Bar, BarKind, Mark, Sign, TimeLineMarks, WordAt, happening,
};
use crate::app::workspace::workspace;
use leptos::prelude::*;

/// The time line of the run on show: moving it moves torch, step and touches to that moment. It runs
/// with the time that the run takes to watch, and says the time in the cell.
#[component]
pub(super) fn TimeLine() -> impl IntoView {
    let workspace = workspace();
    let log = Memo::new(move |_| workspace.shown_run());
    let none = Memo::new(move |_| log.read().is_none());
    let line = Memo::new(move |_| {
        let weld_mm_s = workspace.state().settings.weld_mm_s;
        let log = log.get()?;
        Some(TimeLineMarks::new(&log, &workspace.routine(), weld_mm_s))
    });
    let end = move || {
        let t = log.read().as_ref().map_or(0.0, |l| l.duration);
        Moment { t, stood: f64::MAX }
    };
    let now = Memo::new(move |_| workspace.playback.slow().map_or_else(end, |p| p.moment()));
    let share = Memo::new(move |_| line.read().as_ref().map_or(0.0, |line| line.share(now.get())));
    let happens = Memo::new(move |_| {
        let now = workspace.playback.beat().map_or_else(end, |p| p.moment());
        log.read().as_ref().map(|log| happening(log, &workspace.routine(), now)).unwrap_or_default()
    });
    let go = move |to: Moment| {
        let state = workspace.state_untracked();
        let playback = workspace.playback.get_untracked();
        let run = playback.map_or(state.runs.len().saturating_sub(1), |p| p.run);
        if let Some(log) = state.runs.get(run) {
            workspace.playback.set(Some(Playback::at_moment(run, to, log.duration)));
        }
    };
    let slide = move |to: f64| {
        if let Some(line) = &*line.read_untracked() {
            go(line.moment(to));
        }
    };
    let hop = move |pick: fn(&[Moment], Moment) -> Moment| {
        let playback = workspace.playback.get_untracked();
        let now = playback.map_or_else(|| untrack(end), |p| p.moment());
        if let Some(log) = log.get_untracked() {
            go(pick(&moments(&log), now));
        }
    };
    // While a run plays, a screen reader is told of its beats and not of every moment.
    let value_text = move || {
        let t = workspace.playback.beat().map_or_else(end, |p| p.moment()).t;
        format!("{}, {}", seconds(t), happens.read())
    };
    let moment = move || {
        if none.get() {
            text(Key::NoRunYet).to_owned()
        } else {
            format!("{} · {}", seconds(now.get().t), happens.read())
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
                <Line line share />
                <input
                    type="range"
                    data-testid="run-time"
                    min="0"
                    max="1"
                    step="0.0005"
                    aria-label=text(Key::TimeLine)
                    aria-valuetext=value_text
                    disabled=none
                    prop:value=move || share.get().to_string()
                    on:input:target=move |event| {
                        slide(read(&event.target().value()).unwrap_or_default());
                    }
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

/// Bars and signs along the line. Places are shares of its width, so that it need not be measured; what
/// has been shown is drawn over what is to come, as far as `share`.
#[component]
fn Line(line: Memo<Option<TimeLineMarks>>, share: Memo<f64>) -> impl IntoView {
    let bars = move |class| {
        let bars = line.read().as_ref().map(|line| line.bars.clone()).unwrap_or_default();
        view! { <g class=class>{bars.iter().map(bar).collect_view()}</g> }
    };
    let marks = move || line.read().as_ref().map(|line| line.marks.clone()).unwrap_or_default();
    // Where the last sign is that has been shown: changes with the signs, and not with the time.
    let shown_to = Memo::new(move |_| {
        let share = share.get() + 1e-6;
        let line = line.read();
        let all = line.iter().flat_map(|line| &line.marks).map(|mark| mark.at);
        all.filter(|at| *at <= share).fold(-1.0, f64::max)
    });
    view! {
        <svg class="line" aria-hidden="true" data-testid="time-marks">
            <clipPath id="clip-shown">
                <rect x="0" y="-4" height="48" width=move || percent(share.get()) />
            </clipPath>
            <line class="axis ahead" x1="0" x2="100%" y1="25" y2="25" />
            {move || bars("ahead")}
            <g clip-path="url(#clip-shown)">
                <line class="axis" x1="0" x2="100%" y1="25" y2="25" />
                {move || bars("shown")}
            </g>
            <For each=move || marks().into_iter().enumerate() key=key_of let((_, mark))>
                <SignAt mark shown_to />
            </For>
        </svg>
    }
}

/// A sign that is the same at the same place is the same.
fn key_of((i, mark): &(usize, Mark)) -> (usize, Sign, u64, Option<WordAt>) {
    (*i, mark.sign, mark.at.to_bits(), mark.word)
}

fn percent(share: f64) -> String {
    format!("{:.2}%", share * 100.0)
}

fn bar(bar: &Bar) -> impl IntoView + use<> {
    let (class, levels, word): (_, &[f64], _) = match bar.kind {
        BarKind::Sensing => ("sensing", &[16.0], None),
        BarKind::Follow => ("follow", &[14.0, 18.0], None),
        BarKind::Weld => ("weld", &[31.5], Some(Key::LineWeld)),
    };
    let (from, to, middle) =
        (percent(bar.from), percent(bar.to), percent(f64::midpoint(bar.from, bar.to)));
    let line = |y: &f64| {
        view! { <line class=class x1=from.clone() x2=to.clone() y1=*y y2=*y /> }
    };
    view! {
        {levels.iter().map(line).collect_view()}
        {word
            .filter(|_| bar.named)
            .map(|key| view! { <text class="word" x=middle y="9">{text(key)}</text> })}
    }
}

/// One sign: filled once it has been shown. Trouble is not drawn before.
#[component]
fn SignAt(mark: Mark, shown_to: Memo<f64>) -> impl IntoView {
    let shown = Memo::new(move |_| shown_to.get() >= mark.at);
    let class = move |kind: &str| format!("{kind} {}", if shown.get() { "shown" } else { "ahead" });
    let drawing = match mark.sign {
        Sign::Touch(number) => view! {
            <g class=move || class("pin") data-testid=format!("pin-{number}")>
                <path d="M0 11V24" />
                {mark.word.map(|_| view! { <text y="9">{number}</text> })}
            </g>
        }
        .into_any(),
        Sign::Find => view! {
            <g class=move || class("find") data-testid="pin-find">
                <path d="M0 19.500l5.500 5.500l-5.500 5.500l-5.500 -5.500z" />
                {mark.word.map(|word| {
                    let (x, anchor) = match word {
                        WordAt::Over => (0.0, "middle"),
                        WordAt::After => (-AFTER, "start"),
                    };
                    view! { <text x=x y="9" style:text-anchor=anchor>{text(Key::LineFind)}</text> }
                })}
            </g>
        }
        .into_any(),
        Sign::Trouble => view! {
            <Show when=move || shown.get()>
                <path class="trouble" d="M0 19l5.500 10h-11z" />
            </Show>
        }
        .into_any(),
    };
    view! {
        <svg class="sign" x=percent(mark.at)>
            {drawing}
        </svg>
    }
}
