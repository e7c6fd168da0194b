use crate::app::controls::{ColumnHead, or_dash};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::describe::{offset, run_kind};
use crate::app::logic::number::signed_length;
use crate::app::logic::shown::{Verdict, found_offsets, verdict};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::routine::{RunLog, RunSpeed};
use std::sync::Arc;

/// What was run, a line for each run.
#[component]
pub(super) fn Runs() -> impl IntoView {
    let workspace = workspace();
    let row = |log: &Arc<RunLog>| {
        view! { <tr>{run_cells(log).map(|cell| view! { <td>{cell}</td> })}</tr> }
    };
    let rows = move || workspace.told_runs().iter().map(row).collect_view();
    view! {
        <Show
            when=move || !workspace.told_runs().is_empty()
            fallback=|| view! { <p class="empty">{text(Key::NoRunYet)}</p> }
        >
            <div class="table-holder" tabindex="0" role="region" aria-label=text(Key::Runs)>
                <table class="readings" data-testid="runs">
                    <thead>
                        <tr>{run_heads().map(|head| view! { <ColumnHead>{head}</ColumnHead> })}</tr>
                    </thead>
                    <tbody>{rows}</tbody>
                </table>
            </div>
        </Show>
    }
}

/// The names of the columns of [`run_cells`].
pub(crate) fn run_heads() -> [String; 7] {
    [
        text(Key::Run).to_owned(),
        text(Key::ColKind).to_owned(),
        text(Key::Speed).to_owned(),
        text(Key::ColArc).to_owned(),
        text(Key::ColOffset).to_owned(),
        text(Key::ColEnd).to_owned(),
        format(Key::ColWorst, &[]),
    ]
}

/// A run in one row: number, kind, speed, arc, what it found, how it ended, its worst miss.
pub(crate) fn run_cells(log: &RunLog) -> [String; 7] {
    let offsets: Vec<_> = found_offsets(log, f64::MAX)
        .map(|(solved, pose)| {
            let (slides, rotations) = offset(&solved.place, solved.may, &pose);
            [Some(slides), rotations].into_iter().flatten().collect::<Vec<_>>().join(", ")
        })
        .collect();
    let offsets =
        (!offsets.is_empty()).then(|| offsets.into_iter().rev().collect::<Vec<_>>().join("; "));
    let (end, worst) = match verdict(Some(log), None) {
        Verdict::OnSeam(mm) => (format!("✓ {}", text(Key::VerdictOnSeam)), Some(mm)),
        Verdict::Missed(mm) => (format!("✗ {}", text(Key::VerdictMissed)), Some(mm)),
        Verdict::Stopped(why) => (format!("⬣ {why}"), None),
        Verdict::Paused => (text(Key::VerdictPaused).into(), None),
        Verdict::GivenUp => (text(Key::VerdictGivenUp).into(), None),
        _ => (text(Key::VerdictNoWeld).into(), None),
    };
    let speed = match log.speed {
        RunSpeed::Reduced => Key::SpeedReduced,
        RunSpeed::Full => Key::SpeedFull,
    };
    [
        log.number.to_string(),
        run_kind(log.kind).to_owned(),
        text(speed).to_owned(),
        text(if log.arc { Key::On } else { Key::Off }).to_owned(),
        or_dash(offsets),
        end,
        or_dash(worst.map(|mm| signed_length(mm, 2))),
    ]
}
