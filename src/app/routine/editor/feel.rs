use super::way::WayChoice;
use crate::app::controls::{Group, LabelledField, NumberField, TextField, ToggleButton};
use crate::app::i18n::{Key, text};
use crate::app::logic::aim::{Aim, plan_angle_deg, plan_direction};
use crate::app::logic::number::Quantity;
use crate::app::routine::step_handle::StepHandle;
use leptos::prelude::*;
use nudgeproof::geometry::Vector3;
use nudgeproof::routine::Instruction;

/// The way to the point of a feel, the direction it feels in, and its face.
#[component]
pub(super) fn FeelEditor(step: StepHandle) -> impl IntoView {
    let direction = Memo::new(move |_| match step.instruction.get() {
        Some(Instruction::Feel { direction, .. }) => direction,
        _ => Vector3::x(),
    });
    let face = move || match step.instruction.get() {
        Some(Instruction::Feel { face, .. }) => face,
        _ => String::new(),
    };
    let set_direction = move |new: Vector3<f64>| {
        step.change(|instruction| {
            if let Instruction::Feel { direction, .. } = instruction {
                *direction = new;
            }
        });
    };
    let set_face = move |new: String| {
        step.change(|instruction| {
            if let Instruction::Feel { face, .. } = instruction {
                *face = new;
            }
        });
    };
    let aims = Aim::ALL.map(|aim| {
        view! {
            <ToggleButton
                test_id=format!("feel-{}", aim.id())
                pressed=move || aim.is(&direction.read())
                on:click=move |_| set_direction(aim.vector())
            >
                {aim.label()}
            </ToggleButton>
        }
    });
    view! {
        <WayChoice step />
        <Group class="choice" name=text(Key::FeelDirection)>
            {aims.collect_view()}
        </Group>
        <NumberField
            test_id="feel-angle"
            label=text(Key::Angle)
            quantity=Quantity::Angle
            value=move || plan_angle_deg(&direction.read())
            on_commit=move |degrees: f64| set_direction(plan_direction(degrees))
        />
        <LabelledField name=text(Key::FaceIs)>
            <TextField test_id="feel-face" value=face on_commit=set_face />
        </LabelledField>
    }
}
