use crate::app::controls::{LabelledField, NumberField, Select, TextField};
use crate::app::i18n::{Key, format, text};
use crate::app::routine::step_handle::StepHandle;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::session::Action;

/// The point of a step: another point, another name for it, another place.
#[component]
pub(super) fn PointEditor(
    step: StepHandle,
    /// Name of the point.
    #[prop(into)]
    name: Signal<String>,
) -> impl IntoView {
    let workspace = workspace();
    let names = Memo::new(move |_| {
        let routine = workspace.routine();
        routine.points.iter().map(|p| (p.name.clone(), p.name.clone())).collect::<Vec<_>>()
    });
    let set_point = move |to: String| {
        step.change(|instruction| {
            if let Some(point) = instruction.point_mut() {
                *point = to;
            }
        });
    };
    let rename = move |to: String| {
        let from = name.get_untracked();
        if to != from {
            workspace.act(Action::RenamePoint { from, to });
        }
    };
    view! {
        <LabelledField name=text(Key::PointIs)>
            <Select test_id="step-point" options=names value=name on_change=set_point />
        </LabelledField>
        <LabelledField name=text(Key::PointName)>
            <TextField test_id="point-name" value=name on_commit=rename />
        </LabelledField>
        <PointPlace name />
    }
}

/// Where a point is: typed, or taken from the torch.
#[component]
fn PointPlace(name: Signal<String>) -> impl IntoView {
    let workspace = workspace();
    let at = Memo::new(move |_| workspace.routine().point(&name.read()).map(|p| p.at));
    let axis = move |i: usize, label: &'static str, test_id: &'static str| {
        let on_commit = move |v: f64| {
            let Some(mut at) = at.get_untracked() else { return };
            at[i] = v;
            workspace.act(Action::Teach { point: name.get_untracked(), at });
        };
        view! { <NumberField test_id label value=move || at.get().map_or(0.0, |p| p[i]) on_commit /> }
    };
    let teach = move |_| {
        let (point, at) = (name.get_untracked(), workspace.hand.get_untracked());
        if workspace.act(Action::Teach { point: point.clone(), at }) {
            workspace.notify(format(Key::TaughtHere, &[&point]));
        }
    };
    let bring_torch = move |_| {
        if let Some(at) = at.get_untracked() {
            workspace.hold_torch(at);
        }
    };
    view! {
        <div class="point-fields">
            {axis(0, "X", "point-x")} {axis(1, "Y", "point-y")} {axis(2, "Z", "point-z")}
        </div>
        <div class="row-tools">
            <button type="button" data-testid="teach-here" on:click=teach>
                {text(Key::TeachHere)}
            </button>
            <button type="button" data-testid="bring-torch" on:click=bring_torch>
                {text(Key::BringTorch)}
            </button>
        </div>
    }
}
