use super::plan_form::PlanForm;
use crate::app::desk::desk;
use crate::app::field::NumberField;
use crate::app::live::{Live, memo, when};
use crate::app::logic::names::Aim;
use crate::app::logic::palette::Kind;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::geometry::Vector3;
use nudgeproof::routine::{Act, Corner, Path, StepId};
use nudgeproof::session::Action;

/// Rounding a learner gets when a full stop is turned into a rounded corner, mm.
const BLEND: f64 = 10.0;

fn kind_name(kind: Kind) -> &'static str {
    say(match kind {
        Kind::Move => Word::KindMove,
        Kind::Probe => Word::KindProbe,
        Kind::BeginProbing => Word::AddBegin,
        Kind::FinishProbing => Word::AddFinish,
        Kind::Follow => Word::AddFollow,
        Kind::StopFollowing => Word::AddStop,
        Kind::WeldStart => Word::AddWeldStart,
        Kind::WeldEnd => Word::AddWeldEnd,
    })
}

/// What can be changed of the selected step.
#[component]
pub(super) fn Editor(
    /// The step.
    id: StepId,
    /// What it does now.
    act: Live<Option<Act>>,
) -> impl IntoView {
    let desk = desk();
    let change = move |step: Act| {
        desk.act(Action::ChangeStep { id, step });
    };
    let kind = memo(move || (*act.read()).as_ref().map(Kind::of));
    let point = memo(move || (*act.read()).as_ref().and_then(Act::point).map(str::to_owned));
    let plan = memo(move || match act.get() {
        Some(Act::BeginProbing { plan }) => Some(plan),
        _ => None,
    });
    let retype = move |event: web_sys::Event| {
        let at: usize = event_target_value(&event).parse().unwrap_or_default();
        if let (Some(kind), Some(now)) = (Kind::ALL.get(at), act.get_untracked()) {
            change(kind.retype(&now, &desk.peek().routine));
        }
    };
    view! {
        <label class="pick">
            <span>{say(Word::StepIs)}</span>
            <select data-testid="step-kind" on:change=retype>
                {Kind::ALL.into_iter().enumerate().map(|(i, k)| view! {
                    <option value=i.to_string() data-kind=k.id()
                        selected=move || kind.get() == Some(k)>{kind_name(k)}</option>
                }).collect_view()}
            </select>
        </label>
        {move || point.get().map(|name| view! { <PointEditor id=id act=act name=name/> })}
        {move || (kind.get() == Some(Kind::Move)).then(|| view! { <TravelEditor id=id act=act/> })}
        {move || (kind.get() == Some(Kind::Probe)).then(|| view! { <ProbeEditor id=id act=act/> })}
        {move || plan.get().map(|name| view! { <PlanForm name=name/> })}
        {move || (kind.get() == Some(Kind::Follow)).then(|| view! { <OffsetEditor id=id act=act/> })}
    }
}

/// The point a step uses: another one, another place, another name.
#[component]
fn PointEditor(id: StepId, act: Live<Option<Act>>, name: String) -> impl IntoView {
    let desk = desk();
    let at = {
        let name = name.clone();
        memo(move || desk.routine().point(&name).map(|p| p.at))
    };
    let names = move || desk.routine().points.iter().map(|p| p.name.clone()).collect::<Vec<_>>();
    let repoint = move |event: web_sys::Event| {
        let to = event_target_value(&event);
        let Some(mut step) = act.get_untracked() else { return };
        if let Act::Move { to: p, .. }
        | Act::Probe { from: p, .. }
        | Act::WeldStart { to: p }
        | Act::WeldEnd { to: p } = &mut step
        {
            *p = to;
        }
        desk.act(Action::ChangeStep { id, step });
    };
    let stored = StoredValue::new(name.clone());
    let axis = |i: usize, label: &'static str, test_id: &'static str| {
        let value = Signal::derive(move || at.get().map_or(0.0, |p| p[i]));
        let commit = move |v: f64| {
            let Some(mut p) = at.get_untracked() else { return };
            p[i] = v;
            desk.act(Action::Teach { point: stored.get_value(), at: p });
        };
        view! { <NumberField label=label value=value commit=commit test_id=test_id/> }
    };
    let teach = move |_| {
        let point = stored.get_value();
        if desk.act(Action::Teach { point: point.clone(), at: desk.hand.get_untracked() }) {
            desk.tell(tell(Word::TaughtHere, &[&point]));
        }
    };
    let chosen = name.clone();
    view! {
        <label class="pick">
            <span>{say(Word::PointIs)}</span>
            <select data-testid="step-point" on:change=repoint>
                {move || {
                    let chosen = chosen.clone();
                    names().into_iter().map(move |n| {
                        let here = n == chosen;
                        view! { <option value=n.clone() selected=here>{n.clone()}</option> }
                    }).collect_view()
                }}
            </select>
        </label>
        <label class="pick">
            <span>{say(Word::PointName)}</span>
            <input type="text" data-testid="point-name" autocomplete="off" prop:value=name
                on:change:target=move |event| {
                    let to = event.target().value().trim().to_owned();
                    let from = stored.get_value();
                    if to != from {
                        desk.act(Action::RenamePoint { from, to });
                    }
                }/>
        </label>
        <div class="point-fields">
            {axis(0, "X", "point-x")}
            {axis(1, "Y", "point-y")}
            {axis(2, "Z", "point-z")}
        </div>
        <div class="row-tools">
            <button type="button" data-testid="teach-here" on:click=teach>{say(Word::TeachHere)}</button>
            <button type="button" data-testid="bring-torch"
                on:click=move |_| if let Some(p) = at.get_untracked() { desk.hold_torch(p) }>
                {say(Word::BringTorch)}
            </button>
        </div>
    }
}

/// The path of a move and what happens at its end.
#[component]
fn TravelEditor(id: StepId, act: Live<Option<Act>>) -> impl IntoView {
    let desk = desk();
    let edit = move |new_path: Option<Path>, new_corner: Option<Corner>| {
        if let Some(Act::Move { to, path, corner }) = act.get_untracked() {
            let step = Act::Move {
                to,
                path: new_path.unwrap_or(path),
                corner: new_corner.unwrap_or(corner),
            };
            desk.act(Action::ChangeStep { id, step });
        }
    };
    let path_is = move |p: Path| matches!(act.get(), Some(Act::Move { path, .. }) if path == p);
    let blend = move || match act.get() {
        Some(Act::Move { corner: Corner::Blend(r), .. }) => Some(r),
        _ => None,
    };
    let radius = Signal::derive(move || blend().unwrap_or_default());
    view! {
        <div class="choice" role="group" aria-label=say(Word::PathIs)>
            <button type="button" data-testid="path-joint" aria-pressed=move || path_is(Path::Joint).to_string()
                on:click=move |_| edit(Some(Path::Joint), None)>{say(Word::PathJoint)}</button>
            <button type="button" data-testid="path-linear" aria-pressed=move || path_is(Path::Linear).to_string()
                on:click=move |_| edit(Some(Path::Linear), None)>{say(Word::PathLinear)}</button>
        </div>
        <div class="choice" role="group" aria-label=say(Word::CornerIs)>
            <button type="button" data-testid="corner-stop" aria-pressed=move || blend().is_none().to_string()
                on:click=move |_| edit(None, Some(Corner::FullStop))>{say(Word::CornerStop)}</button>
            <button type="button" data-testid="corner-blend" aria-pressed=move || blend().is_some().to_string()
                on:click=move |_| edit(None, Some(Corner::Blend(BLEND)))>{say(Word::CornerBlend)}</button>
        </div>
        {when(move || blend().is_some(), move || view! {
            <NumberField label=say(Word::CornerRadius) value=radius test_id="corner-radius"
                commit=move |v: f64| edit(None, Some(Corner::Blend(v.max(0.0))))/>
        }.into_any())}
    }
}

/// Direction and face of a probe step.
#[component]
fn ProbeEditor(id: StepId, act: Live<Option<Act>>) -> impl IntoView {
    let desk = desk();
    let edit = move |new_direction: Option<Vector3<f64>>, new_face: Option<String>| {
        if let Some(Act::Probe { from, direction, face }) = act.get_untracked() {
            let step = Act::Probe {
                from,
                direction: new_direction.unwrap_or(direction),
                face: new_face.unwrap_or(face),
            };
            desk.act(Action::ChangeStep { id, step });
        }
    };
    let direction = move || match act.get() {
        Some(Act::Probe { direction, .. }) => direction,
        _ => Vector3::x(),
    };
    let face = move || match act.get() {
        Some(Act::Probe { face, .. }) => face,
        _ => String::new(),
    };
    let angle = Signal::derive(move || {
        let d = direction();
        d.y.atan2(d.x).to_degrees()
    });
    let aimed = move |a: Aim| a.vector().dot(&direction()) > 1.0 - 1e-9;
    view! {
        <div class="choice" role="group" aria-label=say(Word::ProbeDirection)>
            {Aim::ALL.map(|a| view! {
                <button type="button" data-testid=format!("probe-{}", a.id())
                    aria-pressed=move || aimed(a).to_string()
                    on:click=move |_| edit(Some(a.vector()), None)>{a.label()}</button>
            })}
        </div>
        <NumberField label=say(Word::Angle) unit="°" value=angle test_id="probe-angle"
            commit=move |v: f64| {
                let a = v.to_radians();
                edit(Some(Vector3::new(a.cos(), a.sin(), 0.0)), None);
            }/>
        <label class="pick">
            <span>{say(Word::FaceIs)}</span>
            <input type="text" data-testid="probe-face" autocomplete="off" prop:value=face
                on:change:target=move |event| edit(None, Some(event.target().value().trim().to_owned()))/>
        </label>
    }
}

/// The offset a follow step uses.
#[component]
fn OffsetEditor(id: StepId, act: Live<Option<Act>>) -> impl IntoView {
    let desk = desk();
    let offset = move || match act.get() {
        Some(Act::Follow { offset }) => offset,
        _ => String::new(),
    };
    view! {
        <label class="pick">
            <span>{say(Word::OffsetIs)}</span>
            <input type="text" class="short" data-testid="follow-offset" autocomplete="off" prop:value=offset
                on:change:target=move |event| {
                    let offset = event.target().value().trim().to_owned();
                    desk.act(Action::ChangeStep { id, step: Act::Follow { offset } });
                }/>
        </label>
    }
}
