use crate::app::dom::{View, button, el, row_name};
use crate::app::field::NumberField;
use crate::app::i18n::{Key, format};
use crate::app::logic::number::{inches, read, unit, unit_mm};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Vector3};

/// Steps of the jog buttons, in the unit shown: mm, or inches.
fn jogs() -> [f64; 3] {
    if inches() { [0.5, 0.05, 0.005] } else { [10.0, 1.0, 0.1] }
}

/// Where the torch is: typed, or jogged by buttons.
pub(super) fn hand() -> View {
    let workspace = workspace();
    let jog = RwSignal::new(jogs()[0]);
    let axis = |i: usize, name: &'static str, test_id: &'static str| {
        let value = move || workspace.hand.read()[i];
        let commit = move |v: f64| {
            let mut at = workspace.hand.get_untracked();
            at[i] = v;
            workspace.hold_torch(at);
        };
        NumberField::new(test_id, name, value, commit).view()
    };
    let button = move |label: &'static str, way: Vector3<f64>, test_id: &'static str| {
        let press = move || {
            let at = workspace.hand.get_untracked() + way * (jog.get_untracked() * unit_mm());
            workspace.hold_torch(Point3::new(at.x, at.y, at.z.max(0.0)));
        };
        button(test_id)
            .class("jog")
            .click(press)
            .attr("aria-label", move || format(Key::JogBy, &[label, &jog.get().to_string()]))
            .text(label)
    };
    el("div")
        .class("hand")
        .group(Key::Torch)
        .test_id("hand")
        .child(row_name(Key::Torch))
        .child(axis(0, "X", "torch-x"))
        .child(axis(1, "Y", "torch-y"))
        .child(axis(2, "Z", "torch-z"))
        .child(
            el("div")
                .class("jogs")
                .child(button("X−", -Vector3::x(), "jog-minus-x"))
                .child(button("X+", Vector3::x(), "jog-plus-x"))
                .child(button("Y−", -Vector3::y(), "jog-minus-y"))
                .child(button("Y+", Vector3::y(), "jog-plus-y"))
                .child(button("Z−", -Vector3::z(), "jog-minus-z"))
                .child(button("Z+", Vector3::z(), "jog-plus-z"))
                .child(
                    el("label").class("jog-step").child(el("span").text(Key::JogStep)).child(
                        el("select")
                            .test_id("jog-step")
                            .on("change", move |e: web_sys::Event| {
                                jog.set(read(&event_target_value(&e)).unwrap_or(jogs()[0]));
                            })
                            .child(jogs().map(|j| {
                                el("option")
                                    .attr("value", j.to_string())
                                    .text(format!("{j} {}", unit()))
                            })),
                    ),
                ),
        )
}
