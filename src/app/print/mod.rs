//! The sheet to take to the cell: routine, probe plan, forecast and cautions on one page of paper.

mod drawing;
mod tables;

pub(crate) use drawing::{MAGNIFIED, WIDTH, plan};

use super::desk::desk;
use super::logic::describe::{run_kind, step_text};
use super::logic::forecast::{blocks, spreads};
use super::logic::number::length_unit;
use super::logic::rails::margins;
use super::logic::shown::{Verdict, reference_pose, verdict};
use super::run::safety_text;
use super::sheet::HATCHES;
use super::store;
use super::words::{Word, say, tell};
use leptos::prelude::*;
use tables::{forecast_table, pairs, plan_tables, points_table};

/// The sheet as it will be printed, and the button that prints it.
#[component]
pub(crate) fn CellSheet() -> impl IntoView {
    let desk = desk();
    let today = store::moment().get(..10).unwrap_or_default().to_owned();
    let print = move |_| {
        if let Some(window) = web_sys::window() {
            // A browser that cannot print says so itself.
            let _ = window.print();
        }
    };
    let typed = |word: Word, kind: &'static str, value: String, test_id: &'static str| {
        view! {
            <label><span>{say(word)}</span>
                <input type=kind autocomplete="off" data-testid=test_id value=value/></label>
        }
    };
    view! {
        <div class="page cell-page">
            <div class="no-print">
                <button type="button" class="run-button" data-testid="print-cell" on:click=print>{say(Word::Print)}</button>
                <span class="fine">{say(Word::CellSheetNote)}</span>
            </div>
            <article class="cell-sheet" data-testid="cell-sheet">
                <header>
                    <h1>{say(Word::CellSheet)}</h1>
                    {typed(Word::PreparedBy, "text", desk.with_session(|s| s.header().learner.clone()).unwrap_or_default(), "prepared-by")}
                    {typed(Word::DateIs, "date", today, "date")}
                </header>
                {sheet}
                <section class="cell-safety">
                    <h2>{say(Word::CellSafety)}</h2>
                    <ul>{safety_text().map(|p| view! { <li>{p}</li> })}</ul>
                    <p class="sign">{say(Word::CheckedBy)}</p>
                </section>
            </article>
        </div>
    }
}

/// Everything on the sheet that comes of the session.
fn sheet() -> AnyView {
    let desk = desk();
    let (state, part) = (desk.state(), desk.part());
    let blocks = blocks(&state);
    let spread = blocks.first().map(|b| spreads(&state, b));
    let found = spread.clone().and_then(Result::ok).unwrap_or_default();
    let pose = reference_pose(&state).unwrap_or_default();
    let (drawing, height) = plan(&part, &pose, &blocks, &found);
    let drawing = [HATCHES, &drawing].concat();
    let tolerance = part.seams.first().map_or(0.0, |s| s.tolerance_mm);
    let last = desk.runs.read().last().cloned();
    let run = match (&last, verdict(last.as_deref(), None)) {
        (Some(log), Verdict::OnSeam(_)) => {
            [run_kind(log.kind), say(Word::VerdictOnSeam)].join(": ")
        }
        (Some(log), Verdict::Missed(_)) => {
            [run_kind(log.kind), say(Word::VerdictMissed)].join(": ")
        }
        (Some(log), _) => run_kind(log.kind).to_owned(),
        (None, _) => say(Word::VerdictNone).into(),
    };
    let play = part.play;
    let title = pairs(vec![
        (say(Word::TitlePart).into(), part.title.clone()),
        (say(Word::TitleUnits).into(), tell(Word::UnitsMm, &[])),
        (say(Word::TitleTolerance).into(), format!("± {}", length_unit(tolerance, 1))),
        (
            say(Word::Wire).into(),
            tell(
                Word::WireIs,
                &[
                    &super::logic::number::length(state.settings.wire_mm, 1),
                    &super::logic::number::length(state.settings.stick_out_mm, 1),
                ],
            ),
        ),
        (say(Word::PlayIs).into(), tables::play(&play)),
        (say(Word::TitleRun).into(), run),
    ]);
    let margins = margins(&state.routine.steps);
    let steps: Vec<_> = state
        .routine
        .steps
        .iter()
        .zip(&margins)
        .map(|(step, m)| {
            view! {
                <li class:carried=m.home_carried>
                    <span class=format!("rail probing {}", m.probing.class())></span>
                    <span class=format!("rail follow {}", m.follow.class())></span>
                    <span>{step_text(&step.act)}</span>
                </li>
            }
        })
        .collect();
    view! {
        {title}
        <div class="cell-columns">
            <section>
                <h2>{say(Word::Routine)}</h2>
                <p class="rail-names">
                    <span class="probing">{say(Word::RailProbing)}</span>
                    <span class="follow">{say(Word::RailFollow)}</span>
                </p>
                <ol class="cell-steps" data-testid="cell-steps">{steps}</ol>
                {points_table(&state.routine)}
            </section>
            <section>
                <h2>{say(Word::Plan)}</h2>
                <svg class="sheet" role="img" aria-label=say(Word::PlanDrawn) viewBox=format!("0 0 {WIDTH} {height:.0}") inner_html=drawing></svg>
                <p class="fine">{tell(Word::SpreadDrawn, &[&MAGNIFIED.to_string()])}</p>
                {forecast_table(spread, tolerance)}
            </section>
        </div>
        {plan_tables(&blocks)}
    }
    .into_any()
}
