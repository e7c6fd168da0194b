use crate::app::controls::{Group, NumberField, ToggleButton};
use crate::app::i18n::{Key, text};
use crate::app::routine::step_handle::StepHandle;
use leptos::prelude::*;
use nudgeproof::routine::{Corner, Instruction, PathKind};

/// Rounding a corner gets when its full stop is taken away, mm.
const BLEND: f64 = 10.0;

/// The path of a move, and what happens at its end.
#[component]
pub(super) fn TravelEditor(step: StepHandle) -> impl IntoView {
    let set_path = move |new: PathKind| {
        step.change(|instruction| {
            if let Instruction::Move { path, .. } = instruction {
                *path = new;
            }
        });
    };
    let set_corner = move |new: Corner| {
        step.change(|instruction| {
            if let Instruction::Move { corner, .. } = instruction {
                *corner = new;
            }
        });
    };
    let path_is = move |p: PathKind| move || matches!(step.instruction.get(), Some(Instruction::Move { path, .. }) if path == p);
    // Radius of the rounding, mm; `None` at a full stop.
    let blend = Memo::new(move |_| match step.instruction.get() {
        Some(Instruction::Move { corner: Corner::Blend(radius), .. }) => Some(radius),
        _ => None,
    });
    view! {
        <Group class="choice" name=text(Key::PathIs)>
            <ToggleButton
                test_id="path-joint"
                pressed=path_is(PathKind::Joint)
                on:click=move |_| set_path(PathKind::Joint)
            >
                {text(Key::PathJoint)}
            </ToggleButton>
            <ToggleButton
                test_id="path-linear"
                pressed=path_is(PathKind::Linear)
                on:click=move |_| set_path(PathKind::Linear)
            >
                {text(Key::PathLinear)}
            </ToggleButton>
        </Group>
        <Group class="choice" name=text(Key::CornerIs)>
            <ToggleButton
                test_id="corner-stop"
                pressed=move || blend.get().is_none()
                on:click=move |_| set_corner(Corner::FullStop)
            >
                {text(Key::CornerStop)}
            </ToggleButton>
            <ToggleButton
                test_id="corner-blend"
                pressed=move || blend.get().is_some()
                on:click=move |_| set_corner(Corner::Blend(BLEND))
            >
                {text(Key::CornerBlend)}
            </ToggleButton>
        </Group>
        <Show when=move || blend.get().is_some()>
            <NumberField
                test_id="corner-radius"
                label=text(Key::CornerRadius)
                value=move || blend.get().unwrap_or_default()
                on_commit=move |radius: f64| set_corner(Corner::Blend(radius.max(0.0)))
            />
        </Show>
    }
}
