//! What the touches of a part will give, before anything is taught in the cell: their forecast, the best
//! layouts, and a study of whole runs.

use super::rehearsal::Rehearsal;
use super::study_view::StudyView;
use super::studying::Studying;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::length;
use crate::app::share::LinkOpener;
use crate::app::worker::{Answer, Task, Worker};
use leptos::prelude::*;
use nudgeproof::cell::Part;
use nudgeproof::forecast::{EndSpread, SeamForecast, WeldForecast};
use nudgeproof::lesson::{LayoutChoice, rehearsed};
use nudgeproof::routine::{Instruction, Routine};
use std::sync::Arc;

/// The part's model routine, and what it is forecast to give.
type Forecast = Arc<(Routine, SeamForecast)>;

/// What the touches of the part will give.
#[component]
pub(super) fn Prospect(links: LinkOpener) -> impl IntoView {
    let rehearsal = Rehearsal::here();
    let (drawn, part) =
        (Memo::new(move |_| rehearsal.as_drawn()), Memo::new(move |_| rehearsal.part()));
    let forecast = Memo::new(move |_| {
        let session = rehearsed(&*part.get()?, 0).ok()?;
        let routine = Routine::clone(&session.state().routine);
        Some(Arc::new((routine, SeamForecast::of(session.state()))))
    });
    let layouts = RwSignal::new(None::<Vec<LayoutChoice>>);
    let finder = StoredValue::new_local(None::<Worker>);
    let (looking, failed) = (RwSignal::new(false), RwSignal::new(false));
    let studying = Studying::new();
    // Another part has other layouts, and another study.
    Effect::new(move || {
        drawn.track();
        layouts.set(None);
        looking.set(false);
        failed.set(false);
        finder.set_value(None);
    });
    Effect::new(move || {
        part.track();
        studying.clear();
    });
    let done = move |found: Option<Vec<LayoutChoice>>| {
        failed.set(found.is_none());
        layouts.set(found);
        looking.set(false);
        finder.set_value(None);
    };
    let hear = move |answer| match answer {
        Answer::Ready => finder.with_value(|worker| {
            let part = untrack(|| drawn.get());
            if let (Some(worker), Some(part)) = (worker, part) {
                worker.give(&Task::Layouts { part: Part::clone(&part), kept_out: Vec::new() });
            }
        }),
        Answer::Layouts(found) => done(Some(found)),
        Answer::Study(_) | Answer::Refused(_) => {}
    };
    let find = move |_| {
        let worker = Worker::start(hear, move || done(None));
        looking.set(worker.is_some());
        failed.set(worker.is_none());
        finder.set_value(worker);
    };
    let study = move |_| match untrack(|| part.get()) {
        Some(part) => studying.start(part),
        None => studying.clear(),
    };
    let take = move |part: Part| rehearsal.take_layout(part);
    let no_part = move || part.read().is_none();
    view! {
        <section class="own-prospect" aria-label=text(Key::Prospect) data-testid="own-prospect">
            <div class="prospect-said">
                <h2>{text(Key::Prospect)}</h2>
                <div data-testid="own-forecast">
                    {move || forecast.get().map(|forecast| said(&forecast))}
                </div>
                <div class="own-ticks">
                    <button
                        type="button"
                        data-testid="own-best"
                        disabled=move || no_part() || looking.get()
                        on:click=find
                    >
                        {text(Key::ProspectBest)}
                    </button>
                    <Show
                        when=move || studying.is_running()
                        fallback=move || {
                            view! {
                                <button
                                    type="button"
                                    data-testid="own-study"
                                    disabled=no_part
                                    on:click=study
                                >
                                    {text(Key::ProspectStudy)}
                                </button>
                            }
                        }
                    >
                        <button
                            type="button"
                            data-testid="own-study-stop"
                            on:click=move |_| studying.stop()
                        >
                            {text(Key::ProspectStop)}
                        </button>
                    </Show>
                </div>
                <p class="prospect-note" role="status">
                    {move || match (looking.get(), failed.get() || studying.failed()) {
                        (true, _) => text(Key::ProspectLooking),
                        (false, true) => text(Key::ProspectFailed),
                        (false, false) => "",
                    }}
                </p>
                {move || {
                    let found = layouts.get()?;
                    let own = LayoutChoice::of(&*drawn.get()?);
                    Some(view! { <Layouts own found part take /> })
                }}
            </div>
            {move || {
                let (forecast, part) = (forecast.get()?, part.get()?);
                studying.tally().map(|tally| view! { <StudyView tally forecast=forecast.1.clone() part links /> })
            }}
        </section>
    }
}

/// The forecast of each weld in words: its ends, and what most of it comes from.
fn said(forecast: &Forecast) -> impl IntoView + use<> {
    let (routine, seams) = &**forecast;
    let of_weld = |weld: &WeldForecast| {
        let ends = weld.ends.as_ref().map_err(|none| crate::app::i18n::say(&none.why));
        let across = weld.across();
        let words = match (&ends, across) {
            (Err(why), _) => format(Key::NoForecast, &[why]),
            (Ok(ends), across) => {
                let [a, b] = across.unwrap_or_default();
                let sign = if a.max(b) <= weld.tolerance_mm { " ✓" } else { " ✗" };
                let [a_says, b_says] = [a, b].map(|mm| length(mm, 2));
                let allowed = length(weld.tolerance_mm, 2);
                let says =
                    format(Key::ProspectEnds, &[&weld.seam, &a_says, &b_says, &allowed, sign]);
                let worse = &ends[usize::from(b > a)];
                [says, most(routine, worse)].join(" ")
            }
        };
        view! { <p>{words}</p> }
    };
    seams.welds.iter().map(of_weld).collect_view()
}

/// What most of the spread of a weld end comes from: a touch, and whether it is an angle or a slide.
fn most(routine: &Routine, end: &EndSpread) -> String {
    let Some(worst) = end.worst_touch() else { return String::new() };
    let feels = routine.steps.iter().enumerate();
    let feels = feels.filter(|(_, s)| matches!(s.instruction, Instruction::Feel { .. }));
    let number = feels.take_while(|(i, _)| *i <= worst.step).count().to_string();
    let face = match &routine.steps[worst.step].instruction {
        Instruction::Feel { face, .. } => face.as_str(),
        _ => "",
    };
    let per_cent = |share: f64| format!("{:.0}", share * 100.0);
    format(Key::ProspectMost, &[&number, face, &per_cent(worst.share), &per_cent(end.angle_share)])
}

/// The part's own layout and the best ones, side by side: three touches or four?
#[component]
fn Layouts(
    own: Option<LayoutChoice>,
    found: Vec<LayoutChoice>,
    part: Memo<Option<Arc<Part>>>,
    take: impl Fn(Part) + Copy + Send + 'static,
) -> impl IntoView {
    let row = |name: &'static str, choice: LayoutChoice| {
        let sign = if choice.share <= 1.0 { " ✓" } else { " ✗" };
        let layout = Arc::new(choice.part);
        let this = layout.clone();
        let is_taken = Memo::new(move |_| part.read().as_ref().is_some_and(|part| *part == this));
        let take = move |_| take(Part::clone(&layout));
        view! {
            <tr data-testid="own-layout" class:taken=is_taken>
                <th scope="row">{name}</th>
                <td>{choice.touches}</td>
                <td>{format!("±{}{sign}", length(choice.across_mm, 2))}</td>
                <td>{format!("{:.0} s", choice.searching_s)}</td>
                <td>
                    <button
                        type="button"
                        class="quiet"
                        data-testid="own-take"
                        disabled=is_taken
                        on:click=take
                    >
                        {move || text(if is_taken.get() { Key::ProspectTaken } else { Key::ProspectTake })}
                    </button>
                </td>
            </tr>
        }
    };
    let none = found.is_empty();
    view! {
        <p class="prospect-note">
            {text(if none { Key::ProspectNone } else { Key::ProspectTakeNote })}
        </p>
        <table class="prospect-layouts">
            <thead>
                <tr>
                    <td></td>
                    <th scope="col">{text(Key::ProspectTouches)}</th>
                    <th scope="col">{format(Key::ProspectWorst, &[])}</th>
                    <th scope="col">{text(Key::ProspectSearching)}</th>
                    <td></td>
                </tr>
            </thead>
            <tbody>
                {own.map(|own| row(text(Key::ProspectOwn), own))}
                {found
                    .into_iter()
                    .map(|choice| row(text(Key::ProspectBestRow), choice))
                    .collect_view()}
            </tbody>
        </table>
    }
}
