use super::rehearsal::Forecast;
use super::studying::{RUNS, SEED};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::length;
use crate::app::logic::study_chart::StudyChart;
use crate::app::logic::svg_path::d;
use crate::app::share::LinkOpener;
use leptos::prelude::*;
use nudgeproof::cell::Part;
use nudgeproof::lesson::rehearsed;
use nudgeproof::session::{EndTally, Study, Tally, WorstPart};
use std::sync::Arc;

/// So many of the worst parts can be watched.
const WORST: usize = 3;

/// What the runs of a study came to: the misses at the worse weld end against its tolerance, with the
/// forecast over them, and the worst parts to watch. The buttons stay while it runs: only their words change.
#[component]
pub(super) fn StudyView(
    #[prop(into)] tally: Signal<Arc<Tally>>,
    /// The forecast of what is studied.
    forecast: Memo<Option<Forecast>>,
    /// What is studied.
    part: Memo<Option<Arc<Part>>>,
    links: LinkOpener,
) -> impl IntoView {
    let misses = move || {
        let tally = tally.read();
        let end = tally.ends.iter().min_by_key(|end| end.inside)?;
        let forecast = forecast.read();
        let weld = forecast.as_ref()?.1.welds.iter().find(|weld| weld.seam == end.seam);
        let spread =
            weld.and_then(|weld| Some(weld.ends.as_ref().ok()?[usize::from(end.at_end)].across));
        Some(view! { <Misses end=end.clone() sigma=spread /> })
    };
    let watch = move |worst: WorstPart| {
        let session = part.get_untracked().and_then(|part| watched(&part, worst.part));
        if let Some(session) = session {
            links.rehearse(session);
        }
    };
    let stop = Signal::derive(move || {
        let first = tally.read().stops.first()?.first;
        Some(WorstPart { part: first, miss_mm: 0.0 })
    });
    let worst = move |n: usize| {
        let which = Signal::derive(move || tally.read().worst.get(n).copied());
        view! { <WatchButton says=Key::StudyWatch which watch /> }
    };
    let complete = move || tally.read().runs >= RUNS;
    let counted = move || {
        let tally = tally.read();
        let outside = tally.runs - tally.landed - tally.stopped;
        let counts = [tally.runs, RUNS, tally.landed, outside, tally.stopped].map(grouped);
        format(Key::StudyCounted, &counts.each_ref().map(String::as_str))
    };
    view! {
        <div class="prospect-study" data-testid="own-study-result">
            <p data-testid="study-counted">{counted}</p>
            <progress
                max=RUNS.to_string()
                value=move || tally.read().runs.to_string()
                hidden=complete
                aria-label=text(Key::StudyProgress)
            ></progress>
            {misses}
            <div class="own-ticks">
                <WatchButton says=Key::StudyWatchStop which=stop watch />
                {(0..WORST).map(worst).collect_view()}
            </div>
        </div>
    }
}

/// Opens one part of the study as a run to watch, once there is one.
#[component]
fn WatchButton(
    /// Words for its number and its miss.
    says: Key,
    which: Signal<Option<WorstPart>>,
    #[prop(into)] watch: Callback<WorstPart>,
) -> impl IntoView {
    let go = move |_| {
        if let Some(worst) = which.get_untracked() {
            watch.run(worst);
        }
    };
    let words = move || {
        let worst = which.get()?;
        Some(format(says, &[&grouped(worst.part + 1), &length(worst.miss_mm.abs(), 2)]))
    };
    view! {
        <Show when=move || which.read().is_some()>
            <button type="button" class="quiet" data-testid="study-watch" on:click=go>
                {words}
            </button>
        </Show>
    }
}

/// In groups of three: 100 000.
fn grouped(n: usize) -> String {
    let digits = n.to_string();
    let groups = digits.as_bytes().rchunks(3).rev().map(String::from_utf8_lossy);
    groups.collect::<Vec<_>>().join("\u{202f}")
}

/// A part of the study as the last run of a session.
fn watched(part: &Part, number: usize) -> Option<nudgeproof::session::Session> {
    let mut session = rehearsed(part, SEED).ok()?;
    let actions = Study::new(session.state(), SEED).ok()?.actions_of(number);
    session.act_all(actions).ok()?;
    Some(session)
}

/// The misses at one weld end as bars, the tolerance, and what the forecast says of parts that have one
/// reference in common.
#[component]
fn Misses(end: EndTally, sigma: Option<f64>) -> impl IntoView {
    let chart = StudyChart::new(&end, sigma);
    let [inside, outside] = [&chart.inside, &chart.outside].map(d);
    let curve =
        chart.curve.as_ref().map(|curve| view! { <path class="study-forecast" d=d(curve) /> });
    let limits = chart.limits.map(|(at, mm)| {
        let label = if mm > 0.0 { "+" } else { "−" };
        let label = [label, &length(mm.abs(), 2)].concat();
        view! {
            <line class="study-limit" x1=at x2=at y1="0" y2=chart.base />
            <text x=at y=chart.base + 14.0 text-anchor="middle">{label}</text>
        }
    });
    let share = format!("{:.2}", 100.0 * end.inside as f64 / end.across.count().max(1) as f64);
    let index = end.capability().map_or_else(|| "–".into(), |c| format!("{:.2}", c.cpk));
    let side = text(if end.at_end { Key::StudyEnd } else { Key::StudyStart });
    let caption =
        format(Key::StudyMisses, &[&end.seam, side, &share, &length(end.tolerance_mm, 2), &index]);
    let common = chart.common_mm.map(|mm| format(Key::StudyCommon, &[&length(mm, 2)]));
    view! {
        <figure class="chart" data-testid="study-misses">
            <figcaption>{caption} " " {common} " " {chart.agrees.map(text)}</figcaption>
            <svg viewBox=format!("0 0 {} {}", chart.width, chart.base + 18.0) role="img" aria-label=text(Key::StudyChart)>
                <path class="study-inside" d=inside />
                <path class="study-outside" d=outside />
                {curve}
                {limits}
                <line class="study-axis" x1="0" x2=chart.width y1=chart.base y2=chart.base />
            </svg>
        </figure>
    }
}
