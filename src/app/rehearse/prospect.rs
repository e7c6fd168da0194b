//! What the touches of a part will give, before anything is taught in the cell: their forecast, the best
//! layouts, and a study of whole runs.

use super::layout_table::LayoutTable;
use super::rehearsal::{Forecast, Rehearsal};
use super::study_view::StudyView;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::length;
use crate::app::logic::taken::nameless;
use crate::app::share::LinkOpener;
use leptos::prelude::*;
use nudgeproof::forecast::{EndSpread, WeldForecast};
use nudgeproof::routine::{Instruction, Routine};

/// What the touches of the part will give.
#[component]
pub(super) fn Prospect(links: LinkOpener) -> impl IntoView {
    let rehearsal = Rehearsal::here();
    let (part, forecast) = (rehearsal.part, rehearsal.forecast);
    // Of a part that is renamed, all stays.
    let drawn = Memo::new(move |_| rehearsal.as_drawn().as_deref().map(nameless));
    let studied = Memo::new(move |_| part.read().as_deref().map(nameless));
    let (finder, studying) = rehearsal.found_out();
    // Another part has other layouts, and another layout another study.
    Effect::watch(move || drawn.get(), move |_, _, _| finder.clear(), false);
    Effect::watch(move || studied.get(), move |_, _, _| studying.clear(), false);
    let study = move |_| match part.get_untracked() {
        Some(part) => studying.start(part),
        None => studying.clear(),
    };
    let find = move |_| {
        if let Some(part) = untrack(|| rehearsal.as_drawn()) {
            finder.start(&part);
        }
    };
    let no_part = move || rehearsal.is_wrong();
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
                        disabled=move || no_part() || finder.is_looking()
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
                    {move || match (finder.is_looking(), finder.failed() || studying.failed()) {
                        (true, _) => text(Key::ProspectLooking),
                        (false, true) => text(Key::ProspectFailed),
                        (false, false) => "",
                    }}
                </p>
                {move || finder.found().map(|layouts| view! { <LayoutTable layouts finder /> })}
            </div>
            <Show when=move || studying.tally().is_some()>
                <StudyView
                    tally=Signal::derive(move || studying.tally().unwrap_or_default())
                    forecast
                    part
                    links
                />
            </Show>
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
