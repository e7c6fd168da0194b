use crate::app::controls::NumberField;
use crate::app::i18n::{Key, text};
use crate::app::logic::number::Quantity;
use crate::app::routine::step_handle::StepHandle;
use leptos::prelude::*;
use nudgeproof::routine::Instruction;

/// Speed and reach of the searches that a *sensing on* begins.
#[component]
pub(super) fn SensingEditor(step: StepHandle) -> impl IntoView {
    // Speed, mm/s, and reach, mm.
    let numbers = Memo::new(move |_| match step.instruction.get() {
        Some(Instruction::SensingOn { speed_mm_s, reach_mm }) => [speed_mm_s, reach_mm],
        _ => [0.0; 2],
    });
    let set = move |of: usize, to: f64| {
        step.change(|instruction| {
            if let Instruction::SensingOn { speed_mm_s, reach_mm } = instruction {
                *[speed_mm_s, reach_mm][of] = to;
            }
        });
    };
    view! {
        <NumberField
            test_id="sensing-speed"
            label=text(Key::SensingSpeed)
            quantity=Quantity::Speed
            decimals=0
            value=move || numbers.get()[0]
            on_commit=move |speed| set(0, speed)
        />
        <NumberField
            test_id="sensing-reach"
            label=text(Key::Reach)
            decimals=0
            value=move || numbers.get()[1]
            on_commit=move |reach| set(1, reach)
        />
    }
}
