//! The routine panel: the palette that adds steps, and the steps with their two rails.

mod editor;
mod palette;
mod row;
mod row_focus;
mod step_handle;
mod step_icon;

pub(crate) use palette::add_piece_at;

use super::i18n::{Key, text};
use super::keys::{KeyCommand, shortcuts};
use super::lessons::course;
use super::logic::describe;
use super::logic::fold::folds;
use super::logic::rails::StepPlace;
use super::logic::reading::{ReadingRow, rows};
use super::panels::{Panel, panels};
use super::settings::settings;
use super::workspace::workspace;
use editor::StepEditor;
use leptos::prelude::*;
use leptos::reactive::computed::Selector;
use nudgeproof::routine::StepId;
use palette::Palette;
use row::{QuietMark, StepRow};
use row_focus::{RowFocus, close_step, keep_focus};
use std::collections::HashMap;
use step_handle::StepHandle;
use web_sys::KeyboardEvent;

/// The routine: its steps, the editor of the one that is selected, and the steps that fit next.
#[component]
pub(crate) fn RoutinePanel() -> impl IntoView {
    let settings = settings();
    provide_context(RowFocus::default());
    view! {
        <section class="routine" aria-labelledby="routine-title">
            <div class="routine-head">
                <h2 id="routine-title">{text(Key::Routine)}</h2>
                <div class="rail-names" aria-hidden="true">
                    <span class="sensing">{text(Key::RailSensing)}</span>
                    <span class="follow">{text(Key::RailFollow)}</span>
                </div>
            </div>
            <StepList />
            <SelectedStep />
            <Palette />
            <button
                type="button"
                class="quiet leave-projector"
                data-testid="leave-projector"
                on:click=move |_| settings.toggle_projector()
            >
                {text(Key::LeaveProjector)}
            </button>
        </section>
    }
    .into_any()
}

/// The editor of the selected step: beside the list, so that the list stays as it is.
#[component]
fn SelectedStep() -> impl IntoView {
    let (workspace, row_focus) = (workspace(), expect_context::<RowFocus>());
    let selected = move || workspace.cursor.get().into_iter();
    let editor = move |id: StepId| {
        let index = move || workspace.routine().index_of(id);
        let step = StepHandle::new(workspace, id, index);
        let title = move || step.instruction.read().as_ref().map(describe::step_text);
        let close = move || close_step(step, row_focus);
        let on_key = move |event: KeyboardEvent| {
            // A field that is being typed in takes its own way back first.
            if event.key() == "Escape" && !event.default_prevented() {
                event.prevent_default();
                close();
            }
        };
        view! {
            <section
                class="step-beside"
                aria-label=title
                data-testid="step-editor"
                on:keydown=on_key
            >
                <div class="step-beside-head">
                    <h3>{title}</h3>
                    <button
                        type="button"
                        class="quiet"
                        data-testid="step-close"
                        on:click=move |_| close()
                    >
                        {text(Key::CloseEditor)}
                    </button>
                </div>
                <StepEditor step />
            </section>
        }
    };
    view! { <For each=selected key=|id| *id let(id)>{editor(id)}</For> }
}

/// The steps, in their order.
#[component]
fn StepList() -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let ids =
        Memo::new(move |_| workspace.routine().steps.iter().map(|s| s.id).collect::<Vec<_>>());
    let places = Memo::new(move |_| StepPlace::all(&workspace.routine()));
    let marks = Memo::new(move |_| QuietMark::all(workspace, course));
    // How much further along each feel touched than in the reference, in the run on show so far.
    let later = Memo::new(move |_| {
        let (Some(log), state) = (workspace.run_so_far(), workspace.state()) else {
            return HashMap::new();
        };
        let later = |row: ReadingRow| Some((row.step, row.later?));
        rows(&log, &state.memory).into_iter().filter_map(later).collect()
    });
    // What a run is through with folds while it goes on.
    let folds = Memo::new(move |_| {
        let unfinished = workspace.playback.beat().is_some_and(|p| p.t < p.until);
        let running = workspace.step_on_show.get().filter(|_| unfinished);
        folds(&workspace.routine(), running)
    });
    // Selectors: when another step runs or is selected, only the rows of these two are asked.
    let running = Selector::new(move || workspace.step_on_show.get());
    let selected = Selector::new(move || workspace.cursor.get());
    let dragged = RwSignal::new(None::<StepId>);
    let list = NodeRef::new();
    let row_focus = expect_context::<RowFocus>();
    // A step that was added comes into view.
    Effect::new(move |before: Option<Vec<StepId>>| {
        let now = ids.get();
        let added = before.and_then(|before| now.iter().find(|id| !before.contains(id)).copied());
        if let Some(added) = added {
            request_animation_frame(move || row_focus.show(added));
        }
        now
    });
    let panels = panels();
    shortcuts().on(KeyCommand::GoToSteps, move || {
        let first = ids.with_untracked(|ids| ids.first().copied());
        let to = workspace.cursor.get_untracked().or(workspace.step_on_show.get_untracked());
        panels.show(Panel::Routine);
        if let Some(step) = to.or(first) {
            row_focus.focus(step);
        }
    });
    view! {
        <ol class="steps" data-testid="step-list" node_ref=list tabindex="-1">
            <For
                each=move || {
                    keep_focus(list);
                    ids.get()
                }
                key=|id| *id
                let(id)
            >
                <StepRow id places folds marks later dragged running=running.clone() selected=selected.clone() />
            </For>
        </ol>
        <Show when=move || ids.read().is_empty()>
            <p class="empty" data-testid="steps-empty">
                {text(Key::RoutineEmpty)}
            </p>
        </Show>
    }
}
