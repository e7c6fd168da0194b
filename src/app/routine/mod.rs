//! The routine: the torch in hand, the palette, and the steps with their two rails.

mod editor;
mod glyph;
mod palette_view;
mod plan_form;
mod row;

use super::desk::desk;
use super::logic::rails::margins;
use super::words::{Word, say};
use crate::app::live::{memo, when};
use leptos::prelude::*;
use nudgeproof::coach;
use nudgeproof::routine::StepId;

/// The routine panel.
#[component]
pub(crate) fn RoutinePanel() -> impl IntoView {
    let desk = desk();
    let margins = memo(move || margins(&desk.routine().steps));
    let marks = memo(move || {
        coach::check_routine(&desk.state())
            .into_iter()
            .filter_map(|f| Some((f.step?, f.rule, f.message)))
            .collect::<Vec<_>>()
    });
    let ids = move || desk.routine().steps.iter().map(|s| s.id).collect::<Vec<_>>();
    let dragging = RwSignal::new(None::<StepId>);
    view! {
        <section class="panel routine" aria-labelledby="routine-title">
            <h2 id="routine-title">{say(Word::Routine)}</h2>
            <palette_view::Palette/>
            <div class="rail-names" aria-hidden="true">
                <span class="probing">{say(Word::RailProbing)}</span>
                <span class="follow">{say(Word::RailFollow)}</span>
            </div>
            <ol class="steps" data-testid="step-list">
                <For each=ids key=|id| *id let:id>
                    <row::StepRow id=id margins=margins marks=marks dragging=dragging/>
                </For>
            </ol>
            {when(move || desk.routine().steps.is_empty(), move || view! {
                <p class="empty" data-testid="steps-empty">{say(Word::RoutineEmpty)}</p>
            }.into_any())}
        </section>
    }
}
