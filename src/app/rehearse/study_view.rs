use super::studying::{RUNS, SEED};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::length;
use crate::app::logic::study_chart::StudyChart;
use crate::app::logic::svg_path::d;
use crate::app::share::LinkOpener;
use leptos::prelude::*;
use nudgeproof::cell::Part;
use nudgeproof::forecast::SeamForecast;
use nudgeproof::lesson::rehearsed;
use nudgeproof::session::{EndTally, Study, Tally, WorstPart};
use std::sync::Arc;

/// So many of the worst parts can be watched.
const WORST: usize = 3;

/// What the runs of a study came to: the misses at the worse weld end against its tolerance, with the
/// forecast over them, and the worst parts to watch.
#[component]
pub(super) fn StudyView(
    tally: Arc<Tally>,
    forecast: SeamForecast,
    part: Arc<Part>,
    links: LinkOpener,
) -> impl IntoView {
    let worse = tally.ends.iter().min_by_key(|end| end.inside).cloned();
    let drawn = worse.map(|end| {
        let weld = forecast.welds.iter().find(|weld| weld.seam == end.seam);
        let spread =
            weld.and_then(|weld| Some(weld.ends.as_ref().ok()?[usize::from(end.at_end)].across));
        view! { <Misses end sigma=spread /> }
    });
    let watch = move |says: Key, worst: WorstPart| {
        let part = part.clone();
        let go = move |_| {
            if let Some(session) = watched(&part, worst.part) {
                links.rehearse(session);
            }
        };
        let says = format(says, &[&grouped(worst.part + 1), &length(worst.miss_mm.abs(), 2)]);
        view! {
            <button type="button" class="quiet" data-testid="study-watch" on:click=go>
                {says}
            </button>
        }
    };
    let outside = tally.runs - tally.landed - tally.stopped;
    let counted = format(
        Key::StudyCounted,
        &[
            &grouped(tally.runs),
            &grouped(RUNS),
            &grouped(tally.landed),
            &grouped(outside),
            &grouped(tally.stopped),
        ],
    );
    let stopped = (tally.stopped > 0).then(|| tally.stops.first().map(|stop| stop.first)).flatten();
    view! {
        <div class="prospect-study" data-testid="own-study-result">
            <p data-testid="study-counted">{counted}</p>
            <progress
                max=RUNS.to_string()
                value=tally.runs.to_string()
                hidden=tally.runs >= RUNS
                aria-label=text(Key::StudyProgress)
            ></progress>
            {drawn}
            <div class="own-ticks">
                {stopped.map(|first| watch(Key::StudyWatchStop, WorstPart { part: first, miss_mm: 0.0 }))}
                {tally.worst.iter().take(WORST).map(|w| watch(Key::StudyWatch, *w)).collect_view()}
            </div>
        </div>
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
    view! {
        <figure class="chart" data-testid="study-misses">
            <figcaption>{caption} " " {chart.agrees.map(text)}</figcaption>
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
