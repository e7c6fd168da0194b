use crate::app::controls::{Group, LabelledField, NumberField, RowName, Select};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::{inches, read, unit, unit_mm};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Vector3};

/// Distances that one press of a jog button may move the torch, in the unit shown.
fn jog_steps() -> [f64; 3] {
    if inches() { [0.5, 0.05, 0.005] } else { [10.0, 1.0, 0.1] }
}

/// Where the torch is: typed, or jogged by buttons.
#[component]
pub(crate) fn TorchPanel() -> impl IntoView {
    let workspace = workspace();
    let step = RwSignal::new(jog_steps()[0]);
    let axis = move |i: usize, label: &'static str, test_id: &'static str| {
        let on_commit = move |v: f64| {
            let mut at = workspace.hand.get_untracked();
            at[i] = v;
            workspace.hold_torch(at);
        };
        view! { <NumberField test_id label value=move || workspace.hand.read()[i] on_commit /> }
    };
    view! {
        <Group class="hand-card hand" name=text(Key::Torch) test_id="hand">
            <RowName>{text(Key::Torch)}</RowName>
            <JogStep step />
            {axis(0, "X", "torch-x")}
            {axis(1, "Y", "torch-y")}
            {axis(2, "Z", "torch-z")}
            <JogButtons step />
        </Group>
    }
}

/// How far a button moves the torch.
#[component]
fn JogStep(
    /// In the unit shown.
    step: RwSignal<f64>,
) -> impl IntoView {
    let options = jog_steps().map(|step| (step.to_string(), format!("{step} {}", unit())));
    view! {
        <LabelledField class="jog-step" name=text(Key::JogStep)>
            <Select
                test_id="jog-step"
                options=options.to_vec()
                value=move || step.get().to_string()
                on_change=move |chosen: String| {
                    step.set(read(&chosen).unwrap_or(jog_steps()[0]));
                }
            />
        </LabelledField>
    }
}

/// Buttons that move the torch along an axis.
#[component]
fn JogButtons(
    /// How far, in the unit shown.
    step: RwSignal<f64>,
) -> impl IntoView {
    let workspace = workspace();
    let button = move |label: &'static str, direction: Vector3<f64>, test_id: &'static str| {
        let jog = move |_| {
            let at =
                workspace.hand.get_untracked() + direction * (step.get_untracked() * unit_mm());
            workspace.hold_torch(Point3::new(at.x, at.y, at.z.max(0.0)));
        };
        view! {
            <button
                type="button"
                class="jog"
                data-testid=test_id
                aria-label=move || format(Key::JogBy, &[label, &step.get().to_string()])
                on:click=jog
            >
                {label}
            </button>
        }
    };
    view! {
        <div class="jogs">
            {button("X−", -Vector3::x(), "jog-minus-x")}
            {button("X+", Vector3::x(), "jog-plus-x")}
            {button("Y−", -Vector3::y(), "jog-minus-y")}
            {button("Y+", Vector3::y(), "jog-plus-y")}
            {button("Z−", -Vector3::z(), "jog-minus-z")}
            {button("Z+", Vector3::z(), "jog-plus-z")}
        </div>
    }
}
