use super::way::WayChoice;
use crate::app::controls::{Group, NumberField, ToggleButton};
use crate::app::i18n::{Key, text};
use crate::app::routine::step_handle::StepHandle;
use leptos::prelude::*;
use nudgeproof::routine::{Instruction, Stop};

/// Rounding that a move gets when its full stop is taken away, mm.
const ROUNDING: f64 = 10.0;

/// The way of a move, and what happens at its end.
#[component]
pub(super) fn TravelEditor(step: StepHandle) -> impl IntoView {
    let set_stop = move |new: Stop| {
        step.change(|instruction| {
            if let Instruction::Move { stop, .. } = instruction {
                *stop = new;
            }
        });
    };
    // How far before the point the torch leaves its path, mm; `None` at a full stop.
    let rounding = Memo::new(move |_| match step.instruction.get() {
        Some(Instruction::Move { stop: Stop::Round(mm), .. }) => Some(mm),
        _ => None,
    });
    view! {
        <WayChoice step />
        <Group class="choice" name=text(Key::StopIs)>
            <ToggleButton
                test_id="stop-full"
                pressed=move || rounding.get().is_none()
                on:click=move |_| set_stop(Stop::Full)
            >
                {text(Key::FullStop)}
            </ToggleButton>
            <ToggleButton
                test_id="stop-round"
                pressed=move || rounding.get().is_some()
                on:click=move |_| set_stop(Stop::Round(ROUNDING))
            >
                {text(Key::RoundCorner)}
            </ToggleButton>
        </Group>
        <Show when=move || rounding.get().is_some()>
            <NumberField
                test_id="stop-rounding"
                label=text(Key::Rounding)
                value=move || rounding.get().unwrap_or_default()
                on_commit=move |mm: f64| set_stop(Stop::Round(mm.max(0.0)))
            />
        </Show>
    }
}
