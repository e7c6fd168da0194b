//! What goes on paper: the sheet to take to the cell (routine, points, touches, forecast, cautions), and
//! the answers to a lesson for its instructor.

mod answer_sheet;
mod at_cell;
mod cell_drawing;
mod measured;
mod sheet_file;
mod tables;

pub(crate) use answer_sheet::AnswerSheet;

use super::chart::MAGNIFICATION;
use super::i18n::{Key, format, text};
use super::logic::cell_views::CellViews;
use super::logic::describe::{run_kind, step_text, way};
use super::logic::number::{length, length_unit};
use super::logic::play_text::play_text;
use super::logic::rails::{Margin, margins};
use super::logic::shown::{Verdict, verdict};
use super::record::download;
use super::run::safety_text;
use super::settings::settings;
use super::storage;
use super::workspace::{Workspace, workspace};
use at_cell::{AtCell, CellSays};
use cell_drawing::CellDrawing;
use leptos::html;
use leptos::prelude::*;
use nudgeproof::forecast::SeamForecast;
use nudgeproof::routine::{Routine, Step};
use nudgeproof::session::State;
use std::sync::Arc;
use tables::{FindTables, ForecastTable, PointsTable};

/// The sheet as it will be printed, and the button that prints it.
#[component]
pub(crate) fn CellSheet() -> impl IntoView {
    let workspace = workspace();
    let today = storage::moment().get(..10).unwrap_or_default().to_owned();
    let learner = || workspace.with_session(|s| s.header().learner.clone());
    let prepared_by = storage::setting(PREPARED_BY).or_else(learner).unwrap_or_default();
    let settings = settings();
    AtCell::provide();
    let sheet = NodeRef::<html::Article>::new();
    let print = move |_| {
        // If the browser cannot print, it tells the user itself.
        let _ = window().print();
    };
    let save = move |_| {
        let Some(sheet) = sheet.get_untracked() else { return };
        let part = workspace.part();
        match sheet_file::as_page(&sheet, &part.title) {
            Ok(page) => download(workspace, &format!("{}.html", part.name), &page),
            Err(_) => workspace.warn(text(Key::NotExported).into()),
        }
    };
    view! {
        <div class="page cell-page">
            <div class="no-print">
                <button type="button" data-testid="print-cell" class="run-button" on:click=print>
                    {text(Key::Print)}
                </button>
                <button type="button" data-testid="save-cell" on:click=save>
                    {text(Key::AsFile)}
                </button>
                <span class="fine">{text(Key::CellSheetNote)}</span>
            </div>
            <article node_ref=sheet class="cell-sheet" data-testid="cell-sheet">
                <header>
                    <h1>{text(Key::CellSheet)}</h1>
                    <HeadField
                        name=Key::PreparedBy
                        value=prepared_by
                        on_commit=move |name: String| settings.store(PREPARED_BY, &name)
                        test_id="prepared-by"
                    />
                    <HeadField name=Key::DateIs value=today test_id="date" />
                </header>
                <SessionPart />
                <section class="cell-safety">
                    <div>
                        <h2>{text(Key::CellSafety)}</h2>
                        <ul>{safety_text().map(|caution| view! { <li>{caution}</li> })}</ul>
                    </div>
                    <div data-testid="cell-boxes">
                        <h2>{text(Key::CellOrder)}</h2>
                        <ul class="boxes-to-tick">
                            {boxes(workspace).map(|says| view! { <li>{says}</li> })}
                        </ul>
                    </div>
                    <p class="sign">{text(Key::CheckedBy)}</p>
                </section>
            </article>
        </div>
    }
}

/// The setting that holds who prepares sheets in this browser.
const PREPARED_BY: &str = "prepared-by";

/// A field of the header.
#[component]
fn HeadField(
    name: Key,
    value: String,
    /// Called with what was typed; without it, that goes on paper alone.
    #[prop(optional, into)]
    on_commit: Option<Callback<String>>,
    test_id: &'static str,
) -> impl IntoView {
    let take = move |typed: String| {
        if let Some(on_commit) = on_commit {
            on_commit.run(typed);
        }
    };
    view! {
        <label>
            <span>{text(name)}</span>
            <input
                type="text"
                autocomplete="off"
                data-testid=test_id
                value=value
                on:change:target=move |event| take(event.target().value())
            />
        </label>
    }
}

/// Everything on the sheet that comes from the session.
#[component]
fn SessionPart() -> impl IntoView {
    let workspace = workspace();
    let content = move || {
        let (state, part) = (workspace.state(), workspace.part());
        let forecast = SeamForecast::of(&state);
        let touches: Vec<_> = forecast.finds.iter().flat_map(|f| f.touches.clone()).collect();
        let points = state.routine.points.clone();
        let views = CellViews::new(&part, &forecast.reference, &points, &touches);
        view! {
            {title_list(&title_lines(workspace, &state))}
            <div class="cell-columns">
                <section>
                    <h2>{text(Key::Routine)}</h2>
                    <p class="rail-names">
                        <span class="sensing">{text(Key::RailSensing)}</span>
                        <span class="follow">{text(Key::RailFollow)}</span>
                    </p>
                    <Steps routine=state.routine.clone() />
                    <PointsTable points numbered=views.numbered />
                </section>
                <section>
                    <CellDrawing part forecast=forecast.clone() touches views />
                    <p class="fine">{format(Key::SpreadDrawn, &[&MAGNIFICATION.to_string()])}</p>
                    <ForecastTable welds=forecast.welds.clone() />
                </section>
            </div>
            <FindTables finds=forecast.finds.clone() />
            <CellSays forecast />
        }
    };
    view! { <div>{content}</div> }
}

/// By how much a proof run may move a weld end beyond its spread, mm: as much as the coach allows.
const PROOF_MM: f64 = 0.3;

/// What is done at the cell, in this order, to be ticked.
fn boxes(workspace: Workspace) -> [String; 6] {
    let stick_out = length_unit(workspace.state_untracked().settings.stick_out_mm, 1);
    [
        text(Key::BoxLockedOut).into(),
        format(Key::BoxTrimmed, &[&stick_out]),
        text(Key::BoxPoints).into(),
        text(Key::BoxReference).into(),
        format(Key::BoxProof, &[&length_unit(PROOF_MM, 1)]),
        text(Key::BoxDry).into(),
    ]
}

/// Names with their values, as a title block has them.
fn title_lines(workspace: Workspace, state: &State) -> [(Key, String); 6] {
    let part = workspace.part();
    let tolerance = part.seams.first().map_or(0.0, |s| s.tolerance_mm);
    let [wire, stick_out] =
        [state.settings.wire_mm, state.settings.stick_out_mm].map(|v| length(v, 1));
    [
        (Key::TitlePart, part.title.clone()),
        (Key::TitleUnits, format(Key::UnitsMm, &[])),
        (Key::TitleTolerance, format!("± {}", length_unit(tolerance, 1))),
        (Key::Wire, format(Key::WireIs, &[&wire, &stick_out])),
        (Key::PlayIs, play_text(&part.play)),
        (Key::TitleRun, last_run(workspace)),
    ]
}

fn title_list(lines: &[(Key, String)]) -> impl IntoView + use<> {
    let line = |(name, value): &(Key, String)| {
        view! {
            <div>
                <dt>{text(*name)}</dt>
                <dd>{value.clone()}</dd>
            </div>
        }
    };
    view! { <dl class="cell-title">{lines.iter().map(line).collect_view()}</dl> }
}

/// The routine with its rails for sensing and following, and how the torch gets to each point.
#[component]
fn Steps(routine: Arc<Routine>) -> impl IntoView {
    let step = |(step, margin): (&Step, Margin)| {
        view! {
            <li class=if margin.home_carried { "carried" } else { "" }>
                <span class=format!("rail sensing {}", margin.sensing.class())></span>
                <span class=format!("rail follow {}", margin.follow.class())></span>
                <span>
                    {step_text(&step.instruction)}
                    {way(&step.instruction).map(|way| format!(" ({way})"))}
                </span>
            </li>
        }
    };
    view! {
        <ol class="cell-steps" data-testid="cell-steps">
            {routine.steps.iter().zip(margins(&routine)).map(step).collect_view()}
        </ol>
    }
}

/// The last run in a few words: its kind, how it ended, and whether part or routine have changed since.
fn last_run(workspace: Workspace) -> String {
    let last = workspace.runs.read().last().cloned();
    let ended = match verdict(last.as_deref(), None) {
        Verdict::OnSeam(_) => Key::VerdictOnSeam,
        Verdict::Missed(_) => Key::VerdictMissed,
        Verdict::Stopped(_) => Key::VerdictStopped,
        Verdict::Paused => Key::VerdictPaused,
        Verdict::GivenUp => Key::VerdictGivenUp,
        Verdict::NoWeld | Verdict::Running => Key::VerdictNoWeld,
        Verdict::None => Key::VerdictNone,
    };
    match last {
        Some(log) => {
            let past = workspace.past_run().map(|(run, change)| change.since(run));
            let said = [run_kind(log.kind), ": ", text(ended)].concat();
            [said].into_iter().chain(past).collect::<Vec<_>>().join("; ")
        }
        None => text(ended).into(),
    }
}
