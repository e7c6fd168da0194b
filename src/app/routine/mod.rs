//! The routine panel: the palette that adds steps, and the steps with their two rails.

mod editor;
mod palette;
mod row;
mod row_focus;
mod step_handle;
mod step_icon;

pub(crate) use editor::freedoms_name;

use super::i18n::{Key, text};
use super::logic::rails::StepPlace;
use super::panels::panels;
use super::workspace::workspace;
use leptos::prelude::*;
use leptos::reactive::computed::Selector;
use nudgeproof::routine::StepId;
use palette::Palette;
use row::{QuietMark, StepRow};
use row_focus::{RowFocus, keep_focus};

/// The routine panel.
#[component]
pub(crate) fn RoutinePanel() -> impl IntoView {
    view! {
        <section
            class="panel routine"
            aria-labelledby="routine-title"
            node_ref=panels().routine
        >
            <h2 id="routine-title">{text(Key::Routine)}</h2>
            <Palette />
            <div class="rail-names" aria-hidden="true">
                <span class="sensing">{text(Key::RailSensing)}</span>
                <span class="follow">{text(Key::RailFollow)}</span>
            </div>
            <StepList />
        </section>
    }
    .into_any()
}

/// The steps, in their order.
#[component]
fn StepList() -> impl IntoView {
    let workspace = workspace();
    let ids =
        Memo::new(move |_| workspace.routine().steps.iter().map(|s| s.id).collect::<Vec<_>>());
    let places = Memo::new(move |_| StepPlace::all(&workspace.routine()));
    let marks = Memo::new(move |_| QuietMark::all(workspace));
    // Selectors: when another step runs or is selected, only the rows of these two are asked.
    let running = Selector::new(move || workspace.step_on_show.get());
    let selected = Selector::new(move || workspace.cursor.get());
    let dragged = RwSignal::new(None::<StepId>);
    let list = NodeRef::new();
    provide_context(RowFocus::default());
    view! {
        <ol class="steps" data-testid="step-list" node_ref=list>
            <For
                each=move || {
                    keep_focus(list);
                    ids.get()
                }
                key=|id| *id
                let(id)
            >
                <StepRow id places marks dragged running=running.clone() selected=selected.clone() />
            </For>
        </ol>
        <Show when=move || ids.read().is_empty()>
            <p class="empty" data-testid="steps-empty">
                {text(Key::RoutineEmpty)}
            </p>
        </Show>
    }
}
