use crate::app::controls::{Group, NumberField, RowName, StateOf};
use crate::app::i18n::{Key, text};
use crate::app::keys::{CommandButton, KeyCommand};
use crate::app::logic::describe;
use crate::app::logic::nudge::{self, Nudge};
use crate::app::logic::number::Quantity;
use crate::app::panels::panels;
use crate::app::sheet::{place_locked_out, place_part, place_part_and_bodies};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::{Body, FixturePlay, Part};
use nudgeproof::geometry::{Pose, PoseFile};
use nudgeproof::session::{Action, CellState};
use std::collections::BTreeMap;

/// Where the part lies: typed, at random, or back in its place; the wire cut by hand; and whether the
/// cell is locked out for that.
#[component]
pub(crate) fn NudgePanel() -> impl IntoView {
    let workspace = workspace();
    let now = Memo::new(move |_| {
        Nudge::of(&workspace.dragged.get().unwrap_or_else(|| workspace.state().part_shown()))
    });
    let place = Callback::new(move |to| place_part(workspace, to));
    // A fixture that rules out height or tilt needs no fields for them, unless the part has been
    // lifted or tilted all the same.
    let lifts = move || workspace.part().play.dz != 0.0 || now.read().has_height();
    let tilts = move || workspace.part().play.tilt_deg != 0.0 || now.read().has_tilt();
    let in_place = Memo::new(move |_| {
        let state = workspace.state();
        let own = state.own_motions_shown();
        state.part_shown() == Pose::identity() && own.values().all(|p| *p == Pose::identity())
    });
    let put_back = move |_| {
        let part = workspace.part();
        let bodies = loose_bodies(&part).map(|b| (b.name.clone(), PoseFile::default()));
        place_locked_out(workspace, Nudge::default(), bodies.collect());
    };
    let random = move |_| {
        let round = workspace.nudges.get_untracked();
        workspace.nudges.set(round + 1);
        let state = workspace.state_untracked();
        let seed = workspace.with_session(|s| s.header().seed);
        let (to, bodies) = nudge::random(&state.part, seed, state.runs.len() * 1000 + round);
        place_locked_out(workspace, to, bodies);
    };
    view! {
        <Group
            class="hand-card nudge"
            name=text(Key::PartPlace)
            test_id="nudge"
            node_ref=panels().nudge
        >
            <RowName>{text(Key::PartPlace)}</RowName>
            <LockOutSwitch />
            <NudgeField now place test_id="nudge-x" label="ΔX" component=|n| &mut n.dx />
            <NudgeField now place test_id="nudge-y" label="ΔY" component=|n| &mut n.dy />
            <NudgeField
                now
                place
                test_id="nudge-turn"
                label=text(Key::Turn)
                quantity=Quantity::Angle
                component=|n| &mut n.turn_deg
            />
            <Show when=lifts>
                <NudgeField now place test_id="nudge-z" label="ΔZ" component=|n| &mut n.dz />
            </Show>
            <Show when=tilts>
                <NudgeField
                    now
                    place
                    test_id="nudge-tilt-x"
                    label=text(Key::TiltX)
                    quantity=Quantity::Angle
                    component=|n| &mut n.tilt_x_deg
                />
                <NudgeField
                    now
                    place
                    test_id="nudge-tilt-y"
                    label=text(Key::TiltY)
                    quantity=Quantity::Angle
                    component=|n| &mut n.tilt_y_deg
                />
            </Show>
            <LooseBodies />
            <button
                type="button"
                class="half"
                data-testid="nudge-random"
                title=text(Key::LocksOutToMove)
                on:click=random
            >
                {text(Key::NudgeMe)}
            </button>
            <button
                type="button"
                class="half"
                data-testid="nudge-reset"
                title=text(Key::LocksOutToMove)
                disabled=in_place
                on:click=put_back
            >
                {text(Key::BackToPlace)}
            </button>
            <OutsidePlay play=Signal::derive(move || workspace.part().play) now />
            <StraightenWire />
        </Group>
    }
}

/// One component of a place.
type Component = fn(&mut Nudge) -> &mut f64;

/// One component of where the part, or a body on it, lies.
#[component]
fn NudgeField(
    now: Memo<Nudge>,
    /// Moves it to another place.
    place: Callback<Nudge>,
    test_id: &'static str,
    label: &'static str,
    #[prop(default = Quantity::Length)] quantity: Quantity,
    component: Component,
) -> impl IntoView {
    let step = if quantity == Quantity::Angle { 0.5 } else { 1.0 };
    let on_commit = move |value: f64| {
        let mut nudge = now.get_untracked();
        *component(&mut nudge) = value;
        place.run(nudge);
    };
    view! {
        <NumberField
            test_id
            label
            quantity
            step
            value=move || *component(&mut now.get())
            on_commit
        />
    }
}

/// The bodies that move by themselves.
fn loose_bodies(part: &Part) -> impl Iterator<Item = &Body> {
    part.bodies.iter().filter(|b| b.play.is_some())
}

/// Where each body that moves by itself lies on the part.
#[component]
fn LooseBodies() -> impl IntoView {
    let workspace = workspace();
    let bodies = move || loose_bodies(&workspace.part()).cloned().collect::<Vec<_>>();
    view! {
        <For each=bodies key=|b| b.name.clone() let:body>
            <LooseBody body />
        </For>
    }
}

/// Where one body lies on the part: the components that its play allows.
#[component]
fn LooseBody(body: Body) -> impl IntoView {
    let workspace = workspace();
    let play = body.play.unwrap_or_default();
    let name = StoredValue::new(body.name.clone());
    let now = Memo::new(move |_| {
        let state = workspace.state();
        let own = name.with_value(|n| state.own_motions_shown().get(n).copied());
        Nudge::of(&own.unwrap_or_default())
    });
    let place = Callback::new(move |own: Nudge| {
        let part = Nudge::of(&workspace.state_untracked().part_shown());
        place_part_and_bodies(workspace, part, BTreeMap::from([(name.get_value(), own.file())]));
    });
    let fields: [(&str, &str, f64, Quantity, Component); 3] = [
        ("body-x", "ΔX", play.dx, Quantity::Length, |n| &mut n.dx),
        ("body-y", "ΔY", play.dy, Quantity::Length, |n| &mut n.dy),
        ("body-turn", text(Key::Turn), play.turn_deg, Quantity::Angle, |n| &mut n.turn_deg),
    ];
    let fields = fields.into_iter().filter(|(_, _, limit, ..)| *limit != 0.0);
    view! {
        <Group class="nudge-body" name=body.name.clone() test_id="nudge-body">
            <RowName>{body.name}</RowName>
            {fields
                .map(|(test_id, label, _, quantity, component)| {
                    view! { <NudgeField now place test_id label quantity component /> }
                })
                .collect_view()}
            <OutsidePlay play now />
        </Group>
    }
}

/// A warning while the part, or a body on it, lies outside its play.
#[component]
fn OutsidePlay(#[prop(into)] play: Signal<FixturePlay>, now: Memo<Nudge>) -> impl IntoView {
    view! {
        <Show when=move || !play.get().allows(&now.get().pose())>
            <span class="warning" data-testid="outside-play">
                {move || describe::outside_play(&play.get(), &now.get().pose())}
            </span>
        </Show>
    }
}

/// Whether hands may go into the cell.
#[component]
fn LockOutSwitch() -> impl IntoView {
    let workspace = workspace();
    let locked_out = Memo::new(move |_| workspace.state().cell_state == CellState::LockedOut);
    let flip = move || {
        let (state, said) = if locked_out.get_untracked() {
            (CellState::Ready, Key::CellNowReady)
        } else {
            (CellState::LockedOut, Key::CellNowLockedOut)
        };
        if workspace.act(Action::SetCell { state }) {
            workspace.notify(text(said).into());
        }
    };
    view! {
        <CommandButton
            command=KeyCommand::LockOut
            test_id="cell"
            act=flip
            attr:class="state lock-out"
            attr:role="switch"
            attr:aria-checked=move || locked_out.get().to_string()
        >
            <StateOf
                name=Key::Cell
                is=move || if locked_out.get() { Key::IsLocked } else { Key::IsReady }
            />
        </CommandButton>
    }
}

/// Cuts a wire that is bent, has a ball or is not as long as it was taught with, to that length.
#[component]
fn StraightenWire() -> impl IntoView {
    let workspace = workspace();
    let trimmed = Memo::new(move |_| {
        let state = workspace.state();
        state.wire_shown().is_trimmed(state.settings.stick_out_mm)
    });
    let cut = move |_| {
        let stick_out_mm = workspace.state_untracked().settings.stick_out_mm;
        if workspace.act_by_hand([Action::CutWire { stick_out_mm }]) {
            workspace.notify(text(Key::WireCut).into());
        }
    };
    view! {
        <Show when=move || !trimmed.get()>
            <button
                type="button"
                class="danger"
                data-testid="cut-wire"
                title=text(Key::LocksOutToCut)
                on:click=cut
            >
                {text(Key::CutWire)}
            </button>
        </Show>
    }
}
