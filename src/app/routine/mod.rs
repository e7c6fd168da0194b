//! The routine: the torch in hand, the palette, and the steps with their two rails.

mod editor;
mod glyph;
mod palette_view;
mod plan_form;
mod row;

pub(crate) use plan_form::freedoms_name;

use super::dom::{View, each, el, when};
use super::i18n::Key;
use super::logic::rails::margins;
use super::panels::panels;
use super::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::coach::Finding;
use nudgeproof::routine::StepId;

/// The routine panel.
pub(crate) fn routine_panel() -> View {
    let workspace = workspace();
    let margins = Memo::new(move |_| margins(&workspace.routine().steps));
    let marks = Memo::new(move |_| {
        let of_step = |f: &Finding| Some((f.step?, f.rule, f.message.clone()));
        workspace.review.marks().read().iter().filter_map(of_step).collect::<Vec<_>>()
    });
    Effect::new(move || {
        let step = workspace.step_on_show.get();
        mark_running(step.and_then(|id| untrack(|| workspace.routine()).index_of(id)));
    });
    let ids = move || workspace.routine().steps.iter().map(|s| s.id.0.to_string()).collect();
    let dragging = RwSignal::new(None::<StepId>);
    el("section")
        .class("panel routine")
        .node_ref(panels().routine)
        .attr("aria-labelledby", "routine-title")
        .child(el("h2").attr("id", "routine-title").text(Key::Routine))
        .child(palette_view::palette())
        .child(
            el("div")
                .class("rail-names")
                .attr("aria-hidden", "true")
                .child(el("span").class("probing").text(Key::RailProbing))
                .child(el("span").class("follow").text(Key::RailFollow)),
        )
        .child(el("ol").class("steps").test_id("step-list").child(each(ids, move |id| {
            let id = StepId(id.parse().unwrap_or_default());
            row::step_row(id, margins, marks, dragging)
        })))
        .child(when(
            move || workspace.routine().steps.is_empty(),
            move || el("p").class("empty").test_id("steps-empty").text(Key::RoutineEmpty),
        ))
}

/// Marks the row of the step that is under way. It goes from row to row with a run, so the rows
/// themselves are not asked.
fn mark_running(at: Option<usize>) {
    let document = document();
    // The queries are ours and the values are text: nothing to fail.
    while let Ok(Some(row)) = document.query_selector(".step.running") {
        let _ = row.class_list().remove_1("running");
        let _ = sentence_of(&row).map(|s| s.remove_attribute("aria-current"));
    }
    let now = at.map(|i| format!(".step[data-testid=\"step-{}\"]", i + 1));
    if let Some(row) = now.and_then(|q| document.query_selector(&q).ok().flatten()) {
        let _ = row.class_list().add_1("running");
        let _ = sentence_of(&row).map(|s| s.set_attribute("aria-current", "step"));
    }
}

fn sentence_of(row: &web_sys::Element) -> Option<web_sys::Element> {
    row.query_selector(".sentence").ok().flatten()
}
