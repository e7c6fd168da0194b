//! The sheet to take to the cell: routine, probe plan, forecast and cautions on one page of paper.

mod tables;

use super::chart::{MAGNIFIED, WIDTH, plan};
use super::dom::{View, button, el};
use super::i18n::{Key, format, text};
use super::logic::describe::{run_kind, step_text};
use super::logic::forecast::{blocks, spreads};
use super::logic::number::{length, length_unit};
use super::logic::rails::margins;
use super::logic::shown::{Verdict, reference_pose, verdict};
use super::logic::svg_writer::SvgWriter;
use super::run::safety_text;
use super::sheet::HATCHES;
use super::storage;
use super::workspace::{Workspace, workspace};
use leptos::prelude::*;
use tables::{forecast_table, pairs, plan_tables, points_table};

/// The sheet as it will be printed, and the button that prints it.
pub(crate) fn cell_sheet() -> View {
    let workspace = workspace();
    let today = storage::moment().get(..10).unwrap_or_default().to_owned();
    let print = move || {
        if let Some(window) = web_sys::window() {
            // A browser that cannot print says so itself.
            let _ = window.print();
        }
    };
    let typed = |word: Key, kind: &'static str, value: String, test_id: &'static str| {
        el("label").child(el("span").text(word)).child(
            el("input")
                .attr("type", kind)
                .attr("autocomplete", "off")
                .test_id(test_id)
                .attr("value", value),
        )
    };
    el("div")
        .class("page cell-page")
        .child(
            el("div")
                .class("no-print")
                .child(button("print-cell").class("run-button").click(print).text(Key::Print))
                .child(el("span").class("fine").text(Key::CellSheetNote)),
        )
        .child(
            el("article")
                .class("cell-sheet")
                .test_id("cell-sheet")
                .child(
                    el("header")
                        .child(el("h1").text(Key::CellSheet))
                        .child(typed(
                            Key::PreparedBy,
                            "text",
                            workspace
                                .with_session(|s| s.header().learner.clone())
                                .unwrap_or_default(),
                            "prepared-by",
                        ))
                        .child(typed(Key::DateIs, "date", today, "date")),
                )
                .child(el("div").html(sheet))
                .child(
                    el("section")
                        .class("cell-safety")
                        .child(el("h2").text(Key::CellSafety))
                        .child(el("ul").child(safety_text().map(|p| el("li").text(p))))
                        .child(el("p").class("sign").text(Key::CheckedBy)),
                ),
        )
}

/// Everything on the sheet that comes of the session.
fn sheet() -> String {
    let workspace = workspace();
    let (state, part) = (workspace.state(), workspace.part());
    let blocks = blocks(&state);
    let spread = blocks.first().map(|b| spreads(&state, b));
    let found = spread.as_ref().and_then(|s| s.as_deref().ok()).unwrap_or_default();
    let pose = reference_pose(&state).unwrap_or_default();
    let (drawing, height) = plan(&part, &pose, &blocks, found);
    let tolerance = part.seams.first().map_or(0.0, |s| s.tolerance_mm);
    let wire = [state.settings.wire_mm, state.settings.stick_out_mm].map(|v| length(v, 1));
    let mut m = SvgWriter::default();
    pairs(
        &mut m,
        &[
            (text(Key::TitlePart), part.title.clone()),
            (text(Key::TitleUnits), format(Key::UnitsMm, &[])),
            (text(Key::TitleTolerance), format!("± {}", length_unit(tolerance, 1))),
            (text(Key::Wire), format(Key::WireIs, &[&wire[0], &wire[1]])),
            (text(Key::PlayIs), tables::play(&part.play)),
            (text(Key::TitleRun), last_run(workspace)),
        ],
    );
    m.enter("div", "cell-columns", &[]).enter("section", "", &[]);
    m.says("h2", "", text(Key::Routine)).enter("p", "rail-names", &[]);
    m.says("span", "probing", text(Key::RailProbing));
    m.says("span", "follow", text(Key::RailFollow)).leave("p");
    m.enter("ol", "cell-steps", &[("data-testid", "cell-steps")]);
    for (step, margin) in state.routine.steps.iter().zip(margins(&state.routine.steps)) {
        m.enter("li", if margin.home_carried { "carried" } else { "" }, &[]);
        m.says("span", &["rail probing ", margin.probing.class()].concat(), "");
        m.says("span", &["rail follow ", margin.follow.class()].concat(), "");
        m.says("span", "", &step_text(&step.instruction)).leave("li");
    }
    m.leave("ol");
    points_table(&mut m, &state.routine);
    m.leave("section").enter("section", "", &[]).says("h2", "", text(Key::Plan));
    let view_box = format!("0 0 {WIDTH} {height:.0}");
    let attributes =
        [("role", "img"), ("aria-label", text(Key::PlanDrawn)), ("viewBox", &view_box)];
    m.enter("svg", "sheet", &attributes).drawing(HATCHES).drawing(&drawing).leave("svg");
    m.says("p", "fine", &format(Key::SpreadDrawn, &[&MAGNIFIED.to_string()]));
    forecast_table(&mut m, spread, tolerance);
    m.leave("section").leave("div");
    plan_tables(&mut m, &blocks);
    m.finish()
}

/// The last run in two words: what it was, and how it ended.
fn last_run(workspace: Workspace) -> String {
    let last = workspace.runs.read().last().cloned();
    let ended = match verdict(last.as_deref(), None) {
        Verdict::OnSeam(_) => Key::VerdictOnSeam,
        Verdict::Missed(_) => Key::VerdictMissed,
        Verdict::Stopped(_) => Key::VerdictStopped,
        Verdict::Paused => Key::VerdictPaused,
        Verdict::NoWeld | Verdict::Running => Key::VerdictNoWeld,
        Verdict::None => Key::VerdictNone,
    };
    match last {
        Some(log) => [run_kind(log.kind), text(ended)].join(": "),
        None => text(ended).into(),
    }
}
