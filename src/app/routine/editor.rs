use super::plan_form::plan_form;
use crate::app::dom::{View, button, el, pick, several, typed, when};
use crate::app::field::NumberField;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::names::Aim;
use crate::app::logic::palette::Kind;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::Vector3;
use nudgeproof::routine::{Corner, Instruction, PathKind, StepId};
use nudgeproof::session::Action;

/// Rounding a learner gets when a full stop is turned into a rounded corner, mm.
const BLEND: f64 = 10.0;

fn kind_name(kind: Kind) -> &'static str {
    text(match kind {
        Kind::Move => Key::KindMove,
        Kind::Probe => Key::KindProbe,
        Kind::BeginProbing => Key::AddBegin,
        Kind::FinishProbing => Key::AddFinish,
        Kind::Follow => Key::AddFollow,
        Kind::StopFollowing => Key::AddStop,
        Kind::WeldStart => Key::AddWeldStart,
        Kind::WeldEnd => Key::AddWeldEnd,
    })
}

/// What can be changed of the selected step.
pub(super) fn editor(id: StepId, act: Memo<Option<Instruction>>) -> View {
    let workspace = workspace();
    let change = move |step: Instruction| {
        workspace.act(Action::ChangeStep { id, step });
    };
    let kind = Memo::new(move |_| (*act.read()).as_ref().map(Kind::of));
    let point =
        Memo::new(move |_| (*act.read()).as_ref().and_then(Instruction::point).map(str::to_owned));
    let plan = Memo::new(move |_| match act.get() {
        Some(Instruction::BeginProbing { plan }) => Some(plan),
        _ => None,
    });
    let retype = move |event: web_sys::Event| {
        let at: usize = event_target_value(&event).parse().unwrap_or_default();
        if let (Some(kind), Some(now)) = (Kind::ALL.get(at), act.get_untracked()) {
            change(kind.retype(&now, &workspace.state_untracked().routine));
        }
    };
    several()
        .child(pick(Key::StepIs).child(
            el("select").test_id("step-kind").on("change", retype).children(
                Kind::ALL.into_iter().enumerate().map(|(i, k)| {
                    el("option")
                        .attr("value", i.to_string())
                        .attr("data-kind", k.id())
                        .attr("selected", move || kind.get() == Some(k))
                        .text(kind_name(k))
                }),
            ),
        ))
        .child(move || point.get().map(|name| point_editor(id, act, name)))
        .child(move || (kind.get() == Some(Kind::Move)).then(|| travel_editor(id, act)))
        .child(move || (kind.get() == Some(Kind::Probe)).then(|| probe_editor(id, act)))
        .child(move || plan.get().map(plan_form))
        .child(move || (kind.get() == Some(Kind::Follow)).then(|| offset_editor(id, act)))
}

/// The point a step uses: another one, another place, another name.
fn point_editor(id: StepId, act: Memo<Option<Instruction>>, name: String) -> View {
    let workspace = workspace();
    let at = {
        let name = name.clone();
        Memo::new(move |_| workspace.routine().point(&name).map(|p| p.at))
    };
    let names =
        move || workspace.routine().points.iter().map(|p| p.name.clone()).collect::<Vec<_>>();
    let repoint = move |event: web_sys::Event| {
        let to = event_target_value(&event);
        let Some(mut step) = act.get_untracked() else { return };
        if let Instruction::Move { to: p, .. }
        | Instruction::Probe { from: p, .. }
        | Instruction::WeldStart { to: p }
        | Instruction::WeldEnd { to: p } = &mut step
        {
            *p = to;
        }
        workspace.act(Action::ChangeStep { id, step });
    };
    let stored = Signal::stored(name.clone());
    let axis = |i: usize, label: &'static str, test_id: &'static str| {
        let value = move || at.get().map_or(0.0, |p| p[i]);
        let commit = move |v: f64| {
            let Some(mut p) = at.get_untracked() else { return };
            p[i] = v;
            workspace.act(Action::Teach { point: stored.get(), at: p });
        };
        NumberField::new(test_id, label, value, commit).view()
    };
    let teach = move || {
        let point = stored.get();
        if workspace.act(Action::Teach { point: point.clone(), at: workspace.hand.get_untracked() })
        {
            workspace.notify(format(Key::TaughtHere, &[&point]));
        }
    };
    let chosen = name.clone();
    several()
        .child(pick(Key::PointIs).child(
            el("select").test_id("step-point").on("change", repoint).child(move || {
                let chosen = chosen.clone();
                names()
                    .into_iter()
                    .map(move |n| {
                        let here = n == chosen;
                        el("option").attr("value", n.clone()).attr("selected", here).text(n.clone())
                    })
                    .collect::<Vec<_>>()
            }),
        ))
        .child(
            pick(Key::PointName).child(
                typed("point-name", move |to| {
                    let from = stored.get();
                    if to != from {
                        workspace.act(Action::RenamePoint { from, to });
                    }
                })
                .value(name),
            ),
        )
        .child(
            el("div")
                .class("point-fields")
                .child(axis(0, "X", "point-x"))
                .child(axis(1, "Y", "point-y"))
                .child(axis(2, "Z", "point-z")),
        )
        .child(
            el("div")
                .class("row-tools")
                .child(button("teach-here").click(teach).text(Key::TeachHere))
                .child(
                    button("bring-torch")
                        .click(move || {
                            if let Some(p) = at.get_untracked() {
                                workspace.hold_torch(p);
                            }
                        })
                        .text(Key::BringTorch),
                ),
        )
}

/// The path of a move and what happens at its end.
fn travel_editor(id: StepId, act: Memo<Option<Instruction>>) -> View {
    let workspace = workspace();
    let edit = move |new_path: Option<PathKind>, new_corner: Option<Corner>| {
        if let Some(Instruction::Move { to, path, corner }) = act.get_untracked() {
            let step = Instruction::Move {
                to,
                path: new_path.unwrap_or(path),
                corner: new_corner.unwrap_or(corner),
            };
            workspace.act(Action::ChangeStep { id, step });
        }
    };
    let path_is =
        move |p: PathKind| matches!(act.get(), Some(Instruction::Move { path, .. }) if path == p);
    let blend = move || match act.get() {
        Some(Instruction::Move { corner: Corner::Blend(r), .. }) => Some(r),
        _ => None,
    };
    let radius = move || blend().unwrap_or_default();
    several()
        .child(
            el("div")
                .class("choice")
                .group(Key::PathIs)
                .child(
                    button("path-joint")
                        .attr("aria-pressed", move || path_is(PathKind::Joint).to_string())
                        .click(move || edit(Some(PathKind::Joint), None))
                        .text(Key::PathJoint),
                )
                .child(
                    button("path-linear")
                        .attr("aria-pressed", move || path_is(PathKind::Linear).to_string())
                        .click(move || edit(Some(PathKind::Linear), None))
                        .text(Key::PathLinear),
                ),
        )
        .child(
            el("div")
                .class("choice")
                .group(Key::CornerIs)
                .child(
                    button("corner-stop")
                        .attr("aria-pressed", move || blend().is_none().to_string())
                        .click(move || edit(None, Some(Corner::FullStop)))
                        .text(Key::CornerStop),
                )
                .child(
                    button("corner-blend")
                        .attr("aria-pressed", move || blend().is_some().to_string())
                        .click(move || edit(None, Some(Corner::Blend(BLEND))))
                        .text(Key::CornerBlend),
                ),
        )
        .child(when(
            move || blend().is_some(),
            move || {
                NumberField::new("corner-radius", text(Key::CornerRadius), radius, move |v: f64| {
                    edit(None, Some(Corner::Blend(v.max(0.0))));
                })
                .view()
            },
        ))
}

/// Direction and face of a probe step.
fn probe_editor(id: StepId, act: Memo<Option<Instruction>>) -> View {
    let workspace = workspace();
    let edit = move |new_direction: Option<Vector3<f64>>, new_face: Option<String>| {
        if let Some(Instruction::Probe { from, direction, face }) = act.get_untracked() {
            let step = Instruction::Probe {
                from,
                direction: new_direction.unwrap_or(direction),
                face: new_face.unwrap_or(face),
            };
            workspace.act(Action::ChangeStep { id, step });
        }
    };
    let direction = move || match act.get() {
        Some(Instruction::Probe { direction, .. }) => direction,
        _ => Vector3::x(),
    };
    let face = move || match act.get() {
        Some(Instruction::Probe { face, .. }) => face,
        _ => String::new(),
    };
    let angle = move || {
        let d = direction();
        d.y.atan2(d.x).to_degrees()
    };
    let aimed = move |a: Aim| a.vector().dot(&direction()) > 1.0 - 1e-9;
    several()
        .child(el("div").class("choice").group(Key::ProbeDirection).child(Aim::ALL.map(|a| {
            button(format!("probe-{}", a.id()))
                .attr("aria-pressed", move || aimed(a).to_string())
                .click(move || edit(Some(a.vector()), None))
                .text(a.label())
        })))
        .child(
            NumberField::new("probe-angle", text(Key::Angle), angle, move |v: f64| {
                let a = v.to_radians();
                edit(Some(Vector3::new(a.cos(), a.sin(), 0.0)), None);
            })
            .unit("°")
            .view(),
        )
        .child(
            pick(Key::FaceIs).child(
                typed("probe-face", move |text| {
                    edit(None, Some(text));
                })
                .value(face),
            ),
        )
}

/// The offset a follow step uses.
fn offset_editor(id: StepId, act: Memo<Option<Instruction>>) -> View {
    let workspace = workspace();
    let offset = move || match act.get() {
        Some(Instruction::Follow { offset }) => offset,
        _ => String::new(),
    };
    pick(Key::OffsetIs).child(
        typed("follow-offset", move |offset| {
            workspace.act(Action::ChangeStep { id, step: Instruction::Follow { offset } });
        })
        .class("short")
        .value(offset),
    )
}
