//! Beside the routine: the lesson, the coach and the readings.

mod ask_view;
mod coach_view;
mod drill_view;
mod end_view;
mod finding_view;
mod hints;
mod lesson_view;
mod prose;
mod readings;
mod score_view;

pub(crate) use finding_view::{finding_line, rule_title};
pub(crate) use score_view::score_view;

use super::chart::charts;
use super::desk::desk;
use super::dom::{View, button, el};
use super::lessons::course;
use super::live::{Var, effect, memo};
use super::words::Word;
use nudgeproof::lesson::Place;

/// What the lower part of the guide shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Coach,
    Readings,
    Charts,
}

/// Lesson on top while there is one; coach or readings below.
pub(crate) fn guide() -> View {
    let side = Var::new(Side::Coach);
    let (desk, course) = (desk(), course());
    // A stage that is about one of the two brings it to the front.
    let looks_at = memo(move || {
        let done = course.standing.read().done;
        desk.attempt.with(|l| l.as_ref()?.stages.get(done).map(|s| s.look_at))
    });
    effect(move || match looks_at.get() {
        Some(Place::Readings) => side.set(Side::Readings),
        Some(Place::Coach) => side.set(Side::Coach),
        _ => {}
    });
    let tab = move |which: Side, word: Word, test_id: &'static str| {
        button(test_id)
            .attr("role", "tab")
            .attr("aria-selected", move || (side.get() == which).to_string())
            .click(move || side.set(which))
            .text(word)
    };
    el("section")
        .class("panel guide")
        .attr("id", "guide")
        .attr("aria-label", Word::Guide)
        .attr("tabindex", "0")
        .attr("data-side", move || if side.get() == Side::Charts { "charts" } else { "" })
        .child(lesson_view::lesson_panel())
        .child(
            el("div")
                .class("tabs")
                .attr("role", "tablist")
                .attr("aria-label", Word::Guide)
                .child(tab(Side::Coach, Word::Coach, "tab-coach"))
                .child(tab(Side::Readings, Word::Readings, "tab-readings"))
                .child(tab(Side::Charts, Word::TabCharts, "tab-charts")),
        )
        .child(el("div").class("tab-panel").attr("role", "tabpanel").child(
            move || match side.get() {
                Side::Coach => coach_view::coach_panel(),
                Side::Readings => readings::readings(),
                Side::Charts => charts(),
            },
        ))
}
