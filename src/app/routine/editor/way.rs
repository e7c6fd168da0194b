use crate::app::controls::{Group, ToggleButton};
use crate::app::i18n::{Key, text};
use crate::app::logic::describe::way_name;
use crate::app::routine::step_handle::StepHandle;
use leptos::prelude::*;
use nudgeproof::routine::{Instruction, PathKind};

/// How the torch gets to the point of a move or a feel.
#[component]
pub(super) fn WayChoice(step: StepHandle) -> impl IntoView {
    let now = Memo::new(move |_| match step.instruction.get() {
        Some(Instruction::Move { way, .. } | Instruction::Feel { way, .. }) => Some(way),
        _ => None,
    });
    let button = move |path: PathKind, test_id: &'static str| {
        let choose = move |_| {
            step.change(|instruction| {
                if let Instruction::Move { way, .. } | Instruction::Feel { way, .. } = instruction {
                    *way = path;
                }
            });
        };
        view! {
            <ToggleButton test_id pressed=move || now.get() == Some(path) on:click=choose>
                {way_name(path)}
            </ToggleButton>
        }
    };
    view! {
        <Group class="choice" name=text(Key::WayIs)>
            {button(PathKind::Joint, "way-joint")}
            {button(PathKind::Linear, "way-linear")}
        </Group>
    }
}
