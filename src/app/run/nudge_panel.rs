use crate::app::controls::{Group, Icon, NumberField, RowName};
use crate::app::i18n::{Key, text};
use crate::app::keys::{CommandButton, KeyCommand};
use crate::app::logic::describe;
use crate::app::logic::nudge::{self, Nudge};
use crate::app::logic::number::Quantity;
use crate::app::panels::panels;
use crate::app::sheet::{place_part, place_part_and_bodies};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::Pose;
use nudgeproof::session::{Action, CellState};

/// Where the part lies: typed, at random, or back in its place; the wire cut by hand; and whether the
/// cell is locked out for that.
#[component]
pub(crate) fn NudgePanel() -> impl IntoView {
    let workspace = workspace();
    let now = Memo::new(move |_| {
        Nudge::of(&workspace.dragged.get().unwrap_or_else(|| workspace.state().part_shown()))
    });
    // A fixture that rules out height or tilt needs no fields for them, unless the part has been
    // lifted or tilted all the same.
    let lifts = move || workspace.part().play.dz != 0.0 || now.read().has_height();
    let tilts = move || workspace.part().play.tilt_deg != 0.0 || now.read().has_tilt();
    let in_place = Memo::new(move |_| workspace.state().part_shown() == Pose::identity());
    let random = move |_| {
        let round = workspace.nudges.get_untracked();
        workspace.nudges.set(round + 1);
        let state = workspace.state_untracked();
        let seed = workspace.with_session(|s| s.header().seed);
        let (to, bodies) = nudge::random(&state.part, seed, state.runs.len() * 1000 + round);
        place_part_and_bodies(workspace, to, bodies);
    };
    view! {
        <Group
            class="nudge"
            name=text(Key::PartPlace)
            test_id="nudge"
            node_ref=panels().nudge
        >
            <RowName>{text(Key::PartPlace)}</RowName>
            <NudgeField now test_id="nudge-x" label="ΔX" component=|n| &mut n.dx />
            <NudgeField now test_id="nudge-y" label="ΔY" component=|n| &mut n.dy />
            <NudgeField
                now
                test_id="nudge-turn"
                label=text(Key::Turn)
                quantity=Quantity::Angle
                component=|n| &mut n.turn_deg
            />
            <Show when=lifts>
                <NudgeField now test_id="nudge-z" label="ΔZ" component=|n| &mut n.dz />
            </Show>
            <Show when=tilts>
                <NudgeField
                    now
                    test_id="nudge-tilt-x"
                    label=text(Key::TiltX)
                    quantity=Quantity::Angle
                    component=|n| &mut n.tilt_x_deg
                />
                <NudgeField
                    now
                    test_id="nudge-tilt-y"
                    label=text(Key::TiltY)
                    quantity=Quantity::Angle
                    component=|n| &mut n.tilt_y_deg
                />
            </Show>
            <button type="button" data-testid="nudge-random" on:click=random>
                {text(Key::NudgeMe)}
            </button>
            <button
                type="button"
                data-testid="nudge-reset"
                disabled=in_place
                on:click=move |_| place_part(workspace, Nudge::default())
            >
                {text(Key::BackToPlace)}
            </button>
            <OutsidePlay />
            <StraightenWire />
            <LockOutSwitch />
        </Group>
    }
}

/// One component of where the part lies.
#[component]
fn NudgeField(
    now: Memo<Nudge>,
    test_id: &'static str,
    label: &'static str,
    #[prop(default = Quantity::Length)] quantity: Quantity,
    component: fn(&mut Nudge) -> &mut f64,
) -> impl IntoView {
    let workspace = workspace();
    let step = if quantity == Quantity::Angle { 0.5 } else { 1.0 };
    let on_commit = move |value: f64| {
        let mut nudge = Nudge::of(&workspace.state_untracked().part_shown());
        *component(&mut nudge) = value;
        place_part(workspace, nudge);
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

/// A warning while the part lies outside the fixture's play.
#[component]
fn OutsidePlay() -> impl IntoView {
    let workspace = workspace();
    let outside = move || {
        let state = workspace.state();
        !state.part.play.allows(&state.part_shown())
    };
    view! {
        <Show when=outside>
            <span class="warning" data-testid="outside-play">
                {move || describe::outside_play(&workspace.part().play)}
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
            attr:class="lock-out"
            attr:role="switch"
            attr:aria-checked=move || locked_out.get().to_string()
        >
            <Icon d="M3.500 7.500h9v6.500h-9zM5.500 7.500V5a2.500 2.500 0 0 1 5 0v2.500" />
            <span>
                {move || text(if locked_out.get() { Key::CellLockedOut } else { Key::CellReady })}
            </span>
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
        workspace.playback.set(None);
        if workspace.act(Action::CutWire { stick_out_mm }) {
            workspace.notify(text(Key::WireCut).into());
        }
    };
    view! {
        <Show when=move || !trimmed.get()>
            <button type="button" class="danger" data-testid="cut-wire" on:click=cut>
                {text(Key::CutWire)}
            </button>
        </Show>
    }
}
