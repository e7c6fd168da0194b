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

pub(crate) use ask_view::ASK;
pub(crate) use finding_view::{finding_line, rule_title};
pub(crate) use lesson_view::StageLine;
pub(crate) use score_view::ScoreView;

use super::chart::Charts;
use super::desk::desk;
use super::lessons::course;
use super::live::memo;
use super::words::{Word, say};
use leptos::prelude::*;
use nudgeproof::lesson::Place;

/// What the lower part of the guide shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Coach,
    Readings,
    Charts,
}

/// Lesson on top while there is one; coach or readings below.
#[component]
pub(crate) fn Guide() -> impl IntoView {
    let side = RwSignal::new(Side::Coach);
    let (desk, course) = (desk(), course());
    // A stage that is about one of the two brings it to the front.
    let looks_at = memo(move || {
        let done = course.standing.read().done;
        desk.attempt.read().as_ref().and_then(|l| l.stages.get(done)).map(|s| s.look_at)
    });
    Effect::new(move |_| match looks_at.get() {
        Some(Place::Readings) => side.set(Side::Readings),
        Some(Place::Coach) => side.set(Side::Coach),
        _ => {}
    });
    let tab = move |which: Side, word: Word, test_id: &'static str| {
        view! {
            <button type="button" role="tab" data-testid=test_id
                aria-selected=move || (side.get() == which).to_string()
                on:click=move |_| side.set(which)>{say(word)}</button>
        }
    };
    view! {
        <section class="panel guide" id="guide" aria-label=say(Word::Guide) tabindex="0"
            data-side=move || if side.get() == Side::Charts { "charts" } else { "" }>
            <lesson_view::LessonPanel/>
            <div class="tabs" role="tablist" aria-label=say(Word::Guide)>
                {tab(Side::Coach, Word::Coach, "tab-coach")}
                {tab(Side::Readings, Word::Readings, "tab-readings")}
                {tab(Side::Charts, Word::TabCharts, "tab-charts")}
            </div>
            <div role="tabpanel" class="tab-panel">
                {move || match side.get() {
                    Side::Coach => view! { <coach_view::CoachPanel/> }.into_any(),
                    Side::Readings => view! { <readings::Readings/> }.into_any(),
                    Side::Charts => view! { <Charts/> }.into_any(),
                }}
            </div>
        </section>
    }
}
