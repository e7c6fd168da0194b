use super::bench::BenchDrawer;
use super::controls::{Group, ToggleButton};
use super::guide::Guide;
use super::i18n::{Key, text};
use super::panels::{Panel, panels};
use super::place::CellSheetLink;
use super::presenter::PresenterPanel;
use super::routine::RoutinePanel;
use super::run::RunPanel;
use super::sheet::Sheet;
use super::workspace::workspace;
use leptos::prelude::*;

/// Sheet, routine and guide. On a phone routine and guide take turns.
#[component]
pub(crate) fn BenchPlace() -> impl IntoView {
    let workspace = workspace();
    let panels = panels();
    let guide = panels.guide_in_front;
    // The guide of a lesson that has just begun comes first.
    Effect::new(move || {
        let attempt = workspace.attempt.get();
        let done = workspace.with_session(|s| s.actions().len());
        if attempt.is_some_and(|lesson| lesson.start_actions() == done) {
            panels.show(Panel::Guide);
        } else {
            guide.set(false);
        }
    });
    view! {
        <div
            class="bench"
            data-testid="bench"
            data-shows=move || if guide.get() { "guide" } else { "routine" }
        >
            <h1 class="visually-hidden">{text(Key::PlaceBench)}</h1>
            <div class="sheet-side">
                <Sheet />
                <RunPanel />
                <div class="drawers">
                    <BenchDrawer />
                    <PresenterPanel />
                    <CellSheetLink />
                </div>
            </div>
            <Group class="switch" name=text(Key::Sections)>
                <ToggleButton
                    test_id="show-routine"
                    pressed=Signal::derive(move || !guide.get())
                    on:click=move |_| panels.show(Panel::Routine)
                >
                    {text(Key::Routine)}
                </ToggleButton>
                <ToggleButton
                    test_id="show-guide"
                    pressed=guide
                    on:click=move |_| panels.show(Panel::Guide)
                >
                    {text(Key::Guide)}
                </ToggleButton>
            </Group>
            <RoutinePanel />
            <Guide />
        </div>
    }
}
