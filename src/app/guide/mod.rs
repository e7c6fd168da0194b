//! Beside the routine: the lesson, the coach and the readings.

mod ask_view;
mod coach_view;
mod drill_view;
mod end_view;
mod finding_view;
mod hints;
mod lesson_view;
mod markdown;
mod readings;
mod score_view;

pub(crate) use finding_view::{finding_line, rule_title};
pub(crate) use score_view::score_view;

use super::chart::Charts;
use super::dom::{View, button, el, leptos_view};
use super::i18n::Key;
use super::lessons::course;
use super::panels::panels;
use super::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::lesson::LookAt;

/// What the lower part of the guide shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Coach,
    Readings,
    Charts,
}

/// Lesson on top while there is one; coach or readings below.
pub(crate) fn guide() -> View {
    let side = RwSignal::new(Side::Coach);
    let (workspace, course, panels) = (workspace(), course(), panels());
    // A stage that is about one of the two brings it to the front.
    let looks_at = Memo::new(move |_| {
        let done = course.standing.read().done;
        workspace.attempt.with(|l| l.as_ref()?.stages.get(done).map(|s| s.look_at))
    });
    Effect::new(move || match looks_at.get() {
        Some(LookAt::Readings) => side.set(Side::Readings),
        Some(LookAt::Coach) => side.set(Side::Coach),
        _ => {}
    });
    let tab = move |which: Side, word: Key, test_id: &'static str| {
        button(test_id)
            .attr("role", "tab")
            .attr("aria-selected", move || (side.get() == which).to_string())
            .click(move || side.set(which))
            .text(word)
    };
    el("section")
        .class("panel guide")
        .node_ref(panels.guide)
        .attr("aria-label", Key::Guide)
        .attr("tabindex", "0")
        .attr("data-side", move || if side.get() == Side::Charts { "charts" } else { "" })
        .child(lesson_view::lesson_panel())
        .child(
            el("div")
                .class("tabs")
                .node_ref(panels.guide_tabs)
                .attr("role", "tablist")
                .attr("aria-label", Key::Guide)
                .child(tab(Side::Coach, Key::Coach, "tab-coach"))
                .child(tab(Side::Readings, Key::Readings, "tab-readings"))
                .child(tab(Side::Charts, Key::TabCharts, "tab-charts")),
        )
        .child(el("div").class("tab-panel").attr("role", "tabpanel").child(
            move || match side.get() {
                Side::Coach => coach_view::coach_panel(),
                Side::Readings => readings::readings(),
                Side::Charts => leptos_view(view! { <Charts /> }),
            },
        ))
}
