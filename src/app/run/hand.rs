use crate::app::desk::desk;
use crate::app::field::NumberField;
use crate::app::logic::number::{inches, read, unit, unit_mm};
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Vector3};

/// Steps of the jog buttons, in the unit shown: mm, or inches.
fn jogs() -> [f64; 3] {
    if inches() { [0.5, 0.05, 0.005] } else { [10.0, 1.0, 0.1] }
}

/// Where the torch is: typed, or jogged by buttons.
#[component]
pub(super) fn Hand() -> impl IntoView {
    let desk = desk();
    let jog = RwSignal::new(jogs()[0]);
    let axis = |i: usize, name: &'static str, test_id: &'static str| {
        let value = Signal::derive(move || desk.hand.read()[i]);
        let commit = move |v: f64| {
            let mut at = desk.hand.get_untracked();
            at[i] = v;
            desk.hold_torch(at);
        };
        view! { <NumberField label=name value=value commit=commit test_id=test_id/> }
    };
    let button = move |label: &'static str, way: Vector3<f64>, test_id: &'static str| {
        let press = move |_| {
            let at = desk.hand.get_untracked() + way * (jog.get_untracked() * unit_mm());
            desk.hold_torch(Point3::new(at.x, at.y, at.z.max(0.0)));
        };
        view! {
            <button type="button" class="jog" data-testid=test_id on:click=press
                aria-label=move || tell(Word::JogBy, &[label, &jog.get().to_string()])>{label}</button>
        }
    };
    view! {
        <div class="hand" role="group" aria-label=say(Word::Torch) data-testid="hand">
            <span class="row-name">{say(Word::Torch)}</span>
            {axis(0, "X", "torch-x")}
            {axis(1, "Y", "torch-y")}
            {axis(2, "Z", "torch-z")}
            <div class="jogs">
                {button("X−", -Vector3::x(), "jog-minus-x")}
                {button("X+", Vector3::x(), "jog-plus-x")}
                {button("Y−", -Vector3::y(), "jog-minus-y")}
                {button("Y+", Vector3::y(), "jog-plus-y")}
                {button("Z−", -Vector3::z(), "jog-minus-z")}
                {button("Z+", Vector3::z(), "jog-plus-z")}
                <label class="jog-step">
                    <span>{say(Word::JogStep)}</span>
                    <select data-testid="jog-step"
                        on:change:target=move |e| jog.set(read(&e.target().value()).unwrap_or(jogs()[0]))>
                        {jogs().map(|j| view! { <option value=j.to_string()>{format!("{j} {}", unit())}</option> })}
                    </select>
                </label>
            </div>
        </div>
    }
}
