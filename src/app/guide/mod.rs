//! Beside the routine: the lesson, the coach, the readings and the charts.

mod coach;
mod drill;
mod finding_card;
mod hints;
mod lesson_end;
mod lesson_panel;
mod markdown;
mod question;
mod readings;
mod score;

pub(crate) use finding_card::finding_line;
pub(crate) use markdown::Markdown;
pub(crate) use score::SessionScore;

use super::chart::Charts;
use super::i18n::{Key, text};
use super::lessons::course;
use super::panels::panels;
use super::workspace::workspace;
use coach::Coach;
use leptos::prelude::*;
use lesson_panel::LessonPanel;
use nudgeproof::lesson::LookAt;
use readings::Readings;

/// What the lower part of the guide shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Tab {
    Coach,
    Readings,
    Charts,
}

/// The lesson on top while there is one; coach, readings or charts below.
#[component]
pub(crate) fn Guide() -> impl IntoView {
    let (workspace, course, panels) = (workspace(), course(), panels());
    let chosen = RwSignal::new(Tab::Coach);
    // The memo keeps a second press of the same tab from drawing it anew.
    let tab = Memo::new(move |_| chosen.get());
    // A stage that is about one of the two brings it to the front.
    let looks_at = Memo::new(move |_| {
        let done = course.standing.read().done;
        workspace.attempt.with(|l| l.as_ref()?.stages.get(done).map(|s| s.look_at))
    });
    Effect::new(move || match looks_at.get() {
        Some(LookAt::Readings) => chosen.set(Tab::Readings),
        Some(LookAt::Coach) => chosen.set(Tab::Coach),
        _ => {}
    });
    let button = move |this: Tab, name: Key, test_id: &'static str| {
        view! {
            <button
                type="button"
                role="tab"
                data-testid=test_id
                aria-selected=move || (tab.get() == this).to_string()
                on:click=move |_| chosen.set(this)
            >
                {text(name)}
            </button>
        }
    };
    view! {
        <section
            class="panel guide"
            aria-label=text(Key::Guide)
            tabindex="0"
            data-side=move || if tab.get() == Tab::Charts { "charts" } else { "" }
            node_ref=panels.guide
        >
            <LessonPanel />
            <div class="tabs" role="tablist" aria-label=text(Key::Guide) node_ref=panels.guide_tabs>
                {button(Tab::Coach, Key::Coach, "tab-coach")}
                {button(Tab::Readings, Key::Readings, "tab-readings")}
                {button(Tab::Charts, Key::TabCharts, "tab-charts")}
            </div>
            <div class="tab-panel" role="tabpanel">
                {move || match tab.get() {
                    Tab::Coach => view! { <Coach /> }.into_any(),
                    Tab::Readings => view! { <Readings /> }.into_any(),
                    Tab::Charts => view! { <Charts /> }.into_any(),
                }}
            </div>
        </section>
    }
}
