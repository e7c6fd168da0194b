//! What can be changed of the selected step.

mod feel;
mod find;
mod place;
mod point;
mod sensing;
mod travel;
mod way;

use super::row_focus::{RowFocus, delete_step};
use super::step_handle::StepHandle;
use crate::app::controls::{LabelledField, Select};
use crate::app::i18n::{Key, text};
use crate::app::logic::instruction_kind::InstructionKind;
use crate::app::workspace::workspace;
use feel::FeelEditor;
use find::FindEditor;
use leptos::prelude::*;
use nudgeproof::routine::Instruction;
use place::PlaceChoice;
use point::PointEditor;
use sensing::SensingEditor;
use travel::TravelEditor;

/// The fields of the selected step.
#[component]
pub(super) fn StepEditor(step: StepHandle) -> impl IntoView {
    let kind = Memo::new(move |_| step.instruction.read().as_ref().map(InstructionKind::of));
    let is = move |k: InstructionKind| move || kind.get() == Some(k);
    let point = Memo::new(move |_| {
        step.instruction.read().as_ref().and_then(Instruction::point).map(str::to_owned)
    });
    view! {
        <div class="step-editor">
            <StepTools step />
            <KindChoice step kind />
            <Show when=move || point.read().is_some()>
                <PointEditor step name=move || point.get().unwrap_or_default() />
            </Show>
            <Show when=is(InstructionKind::Move)>
                <TravelEditor step />
            </Show>
            <Show when=is(InstructionKind::SensingOn)>
                <SensingEditor step />
            </Show>
            <Show when=is(InstructionKind::Feel)>
                <FeelEditor step />
            </Show>
            <Show when=is(InstructionKind::Find)>
                <FindEditor step />
            </Show>
            <Show when=is(InstructionKind::Follow)>
                <PlaceChoice step />
            </Show>
        </div>
    }
    .into_any()
}

/// Moves and deletes the step.
#[component]
fn StepTools(step: StepHandle) -> impl IntoView {
    let (workspace, row_focus) = (workspace(), expect_context::<RowFocus>());
    let last = Memo::new(move |_| {
        step.index.get().is_some_and(|i| i + 1 >= workspace.routine().steps.len())
    });
    view! {
        <div class="row-tools">
            <button
                type="button"
                data-testid="step-up"
                disabled=move || step.index.get() == Some(0)
                on:click=move |_| step.move_by(-1)
            >
                {text(Key::MoveUp)}
            </button>
            <button
                type="button"
                data-testid="step-down"
                disabled=last
                on:click=move |_| step.move_by(1)
            >
                {text(Key::MoveDown)}
            </button>
            <button
                type="button"
                class="danger"
                data-testid="step-delete"
                on:click=move |_| delete_step(step, row_focus)
            >
                {text(Key::Delete)}
            </button>
        </div>
    }
}

/// Makes the step one of another kind.
#[component]
fn KindChoice(step: StepHandle, kind: Memo<Option<InstructionKind>>) -> impl IntoView {
    let workspace = workspace();
    let options: Vec<_> = InstructionKind::ALL
        .iter()
        .map(|k| (k.id().to_owned(), kind_name(*k).to_owned()))
        .collect();
    let on_change = move |id: String| {
        if let Some(kind) = InstructionKind::ALL.into_iter().find(|k| k.id() == id) {
            let routine = &workspace.state_untracked().routine;
            step.change(|instruction| *instruction = kind.retype(instruction, routine));
        }
    };
    view! {
        <LabelledField name=text(Key::StepIs)>
            <Select
                test_id="step-kind"
                options
                value=move || kind.get().map_or("", InstructionKind::id).to_owned()
                on_change
            />
        </LabelledField>
    }
}

fn kind_name(kind: InstructionKind) -> &'static str {
    text(match kind {
        InstructionKind::Move => Key::AddGoTo,
        InstructionKind::SensingOn => Key::SensingOn,
        InstructionKind::Feel => Key::AddFeel,
        InstructionKind::SensingOff => Key::SensingOff,
        InstructionKind::Find => Key::AddFind,
        InstructionKind::Follow => Key::AddFollow,
        InstructionKind::StopFollowing => Key::StopFollowing,
        InstructionKind::WeldStart => Key::AddWeldFrom,
        InstructionKind::WeldThrough => Key::AddWeldThrough,
        InstructionKind::WeldEnd => Key::AddWeldTo,
        InstructionKind::TrimWire => Key::TrimWire,
    })
}
