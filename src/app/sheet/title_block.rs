use super::shapes::sized_lettering;
use super::sheet_view::SheetView;
use crate::app::controls::or_dash;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::describe::{miss_by_eye, run_kind};
use crate::app::logic::layout::SheetFormat;
use crate::app::logic::number::{length_unit, lettered, signed_length};
use crate::app::logic::scale;
use crate::app::logic::sheet_frame::TitleCells;
use crate::app::logic::shown::{Verdict, verdict};
use crate::app::logic::svg_path::{d, hundredth, translate};
use crate::app::logic::time_line::happening;
use crate::app::workspace::workspace;
use kurbo::{Point, Rect};
use leptos::prelude::*;

/// Part, units, scale, tolerance and run.
#[component]
pub(super) fn TitleBlock() -> impl IntoView {
    let workspace = workspace();
    let layout = expect_context::<SheetView>().layout;
    let run = move || {
        let run = workspace.shown_run();
        let run = or_dash(run.map(|r| format!("{} · {}", r.number, run_kind(r.kind))));
        let (at, format) = layout.with(|l| (TitleCells::new(l).run, l.format));
        let largest = match format {
            SheetFormat::Projector => PROJECTED_VALUE_SIZE,
            SheetFormat::Desk | SheetFormat::Phone => VALUE_SIZE,
        };
        cell_of(at, Key::TitleRun, "title-run", run, largest)
    };
    let cells = move || {
        let (part, l) = (workspace.part(), layout.get());
        let cells = TitleCells::new(&l);
        let tolerance = part.seams.first().map_or(0.0, |s| s.tolerance_mm);
        let tolerance = format!("± {}", length_unit(tolerance, 1));
        let scale = scale::nominal(l.projection.plan.scale);
        let title = part.title.clone();
        view! {
            <path class="frame" d=d(&l.title) />
            {cells.part.map(|r| cell(r, Key::TitlePart, "title-part", title))}
            {cells.units.map(|r| cell(r, Key::TitleUnits, "title-units", format(Key::UnitsMm, &[])))}
            {cells.scale.map(|r| cell(r, Key::TitleScale, "title-scale", scale))}
            {cells.tolerance.map(|r| cell(r, Key::TitleTolerance, "title-tolerance", tolerance))}
        }
    };
    view! { <g data-testid="title-block">{cells} {run}</g> }
}

/// Largest letters of a value, pixels, and for a class, which has the value alone.
const VALUE_SIZE: f64 = 13.0;
const PROJECTED_VALUE_SIZE: f64 = 19.0;
/// Letters of the name of a cell, pixels.
const NAME_SIZE: f64 = 11.0;

/// One cell: its name over its value.
fn cell(r: Rect, name: Key, test_id: &'static str, value: String) -> impl IntoView {
    cell_of(r, name, test_id, value, VALUE_SIZE)
}

fn cell_of(
    r: Rect,
    name: Key,
    test_id: &'static str,
    value: String,
    largest: f64,
) -> impl IntoView {
    let (value, size) = lettered(&value, r.width() - 12.0, largest);
    let x = hundredth(r.x0 + 6.0);
    view! {
        <path class="divider" d=d(&r) />
        <text
            class="slot-name"
            x=x
            y=hundredth(r.y0 + 12.0)
            font-size=hundredth(NAME_SIZE)
        >
            {text(name)}
        </text>
        <text
            class="slot-value"
            x=x
            y=hundredth(r.y1 - r.height() * 0.22)
            font-size=hundredth(size)
            data-testid=test_id
        >
            {value}
        </text>
    }
}

/// The verdict on the run on show, or on the last.
#[component]
pub(super) fn VerdictBlock() -> impl IntoView {
    let workspace = workspace();
    let layout = expect_context::<SheetView>().layout;
    let verdict = Memo::new(move |_| {
        let playback = workspace.at_beat().map(|(_, p)| p);
        verdict(workspace.shown_run().as_deref(), playback.as_ref())
    });
    // While a run plays, what happens in it.
    let running = Memo::new(move |_| {
        let (log, p) = workspace.at_beat()?;
        let plays = verdict.read() == Verdict::Running;
        plays.then(|| happening(&log, &workspace.routine(), p.moment()))
    });
    // What it says of a run that no longer fits the part or the routine is of the past.
    let past = Memo::new(move |_| workspace.past_run());
    let key = move || verdict.with(verdict_key);
    let content = move || {
        let r = layout.with(TitleCells::new).verdict;
        let (head, mut below) = verdict.with(verdict_texts);
        if let (true, Verdict::OnSeam(mm) | Verdict::Missed(mm)) =
            (workspace.state().concealed(), verdict.get())
        {
            below = miss_by_eye(mm);
        }
        if let Some(moment) = running.get() {
            below = moment;
        }
        if let Some((number, change)) = past.get() {
            below = change.since(number);
        }
        let (sign, middle) = (Point::new(r.x0 + 24.0, r.center().y), r.center().y);
        let line = |class, largest: f64, dy: f64, text: String| {
            let (text, size) = lettered(&text, r.width() - 54.0, largest);
            sized_lettering(class, Point::new(r.x0 + 46.0, middle + dy), Some(size), text)
        };
        let (largest_head, largest_below) = match layout.read().format {
            SheetFormat::Projector => (26.0, 18.0),
            SheetFormat::Desk | SheetFormat::Phone => (16.0, 11.0),
        };
        view! {
            <path class="verdict-back" d=d(&r) />
            <path class="verdict-sign" d=verdict.with(verdict_sign) transform=translate(sign) />
            {line("verdict-head", largest_head, -2.0, head)}
            {line("verdict-below", largest_below, largest_below + 4.0, below)}
        }
    };
    view! {
        <g
            class=move || format!("verdict {}", key())
            class:past=move || past.read().is_some()
            data-testid="verdict"
            data-verdict=key
        >
            {content}
        </g>
    }
}

fn verdict_key(v: &Verdict) -> &'static str {
    match v {
        Verdict::None => "none",
        Verdict::Running => "running",
        Verdict::Paused => "paused",
        Verdict::GivenUp => "given-up",
        Verdict::Stopped(_) => "stopped",
        Verdict::OnSeam(_) => "on-seam",
        Verdict::Missed(_) => "missed",
        Verdict::NoWeld => "no-weld",
    }
}

/// The verdict and the line under it.
fn verdict_texts(v: &Verdict) -> (String, String) {
    let miss = |mm: f64| format(Key::WorstMiss, &[&signed_length(mm, 2)]);
    let (head, below) = match v {
        Verdict::None => (Key::VerdictNone, text(Key::VerdictNoneBelow).into()),
        Verdict::Running => (Key::VerdictRunning, String::new()),
        Verdict::Paused => (Key::VerdictPaused, text(Key::VerdictPausedBelow).into()),
        Verdict::GivenUp => (Key::VerdictGivenUp, text(Key::VerdictGivenUpBelow).into()),
        Verdict::Stopped(why) => (Key::VerdictStopped, why.clone()),
        Verdict::OnSeam(mm) => (Key::VerdictOnSeam, miss(*mm)),
        Verdict::Missed(mm) => (Key::VerdictMissed, miss(*mm)),
        Verdict::NoWeld => (Key::VerdictNoWeld, text(Key::VerdictNoWeldBelow).into()),
    };
    (text(head).into(), below)
}

/// A sign about its middle, so that a verdict is told by shape as well as by colour: a tick, a
/// cross, an octagon with an exclamation mark, a play sign, a pause sign, a bar.
fn verdict_sign(v: &Verdict) -> &'static str {
    match v {
        Verdict::OnSeam(_) => "M-10 0l7 8l13 -17",
        Verdict::Missed(_) => "M-9 -9l18 18m0 -18l-18 18",
        Verdict::Stopped(_) => "M-4.5 -11.5h9l7 7v9l-7 7h-9l-7 -7v-9zm4.5 5v9m0 4v1",
        Verdict::Running => "M-6 -9l15 9l-15 9z",
        Verdict::Paused => "M-4.5 -8v16m9 -16v16",
        Verdict::None | Verdict::NoWeld | Verdict::GivenUp => "M-9 0h18",
    }
}
