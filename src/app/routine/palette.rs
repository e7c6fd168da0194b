use super::step_icon::piece_icon;
use crate::app::controls::{Group, Icon, ToggleButton};
use crate::app::i18n::{Key, format, text};
use crate::app::keys::{CommandButton, KeyCommand};
use crate::app::logic::aim::Aim;
use crate::app::logic::palette::{Piece, Placing};
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;

/// The steps that can be added: each teaches the place of the torch and goes in after the step
/// that is selected.
#[component]
pub(super) fn Palette() -> impl IntoView {
    let workspace = workspace();
    let add = move |piece: Piece| {
        if add_piece(workspace, piece, workspace.aim.get_untracked()) {
            workspace.chosen_aim.set(None);
        }
    };
    let place = move || {
        text(if workspace.cursor.get().is_some() { Key::AfterSelected } else { Key::AtTheEnd })
    };
    let pieces = Piece::ALL.map(|piece| {
        view! {
            <CommandButton
                command=KeyCommand::Add(piece)
                test_id=format!("add-{}", piece.id())
                act=move || add(piece)
                attr:class="piece"
            >
                <Icon d=piece_icon(piece) />
                <span>{text(piece.name())}</span>
            </CommandButton>
        }
    });
    view! {
        <fieldset class="palette" data-testid="palette">
            <legend>{text(Key::AddStep)} " " <span class="where">{place}</span></legend>
            <AimChoice />
            <div class="pieces">{pieces.collect_view()}</div>
        </fieldset>
    }
}

/// The direction of the next feel.
#[component]
fn AimChoice() -> impl IntoView {
    let workspace = workspace();
    let choices = Aim::ALL.map(|a| {
        view! {
            <ToggleButton
                test_id=format!("aim-{}", a.id())
                class="aim"
                attr:title=format(Key::AimTitle, &[a.label(), a.face()])
                pressed=move || workspace.aim.get() == a
                on:click=move |_| workspace.chosen_aim.set(Some(a))
            >
                {a.label()}
            </ToggleButton>
        }
    });
    view! {
        <Group class="aims" name=text(Key::FeelDirection)>
            <span class="aims-name">{text(Key::FeelDirection)}</span>
            {choices.collect_view()}
            <span class="aim-face">{move || format(Key::AimFace, &[workspace.aim.get().face()])}</span>
        </Group>
    }
}

/// Adds a piece where the learner is in the routine; false if that could not be done.
fn add_piece(workspace: Workspace, piece: Piece, aim: Aim) -> bool {
    let state = workspace.state_untracked();
    let routine = &state.routine;
    let selected = workspace.cursor.get_untracked().and_then(|id| routine.index_of(id));
    let at = selected.map_or(routine.steps.len(), |i| i + 1);
    let torch = workspace.hand.get_untracked();
    let placing = Placing { routine, torch, at, aim: aim.vector(), face: aim.face() };
    if !workspace.act_all(placing.actions(piece)) {
        return false;
    }
    let after = workspace.state_untracked();
    let added = after.routine.steps.get(at);
    // While nothing is selected, steps are added at the end: it stays so.
    if selected.is_some() {
        workspace.cursor.set(added.map(|s| s.id));
    }
    let name = text(piece.name());
    if piece.teaches(routine) {
        let point = added.and_then(|s| s.instruction.point()).unwrap_or_default();
        workspace.notify(format(Key::AddedTaught, &[name, point]));
    } else {
        workspace.notify(format(Key::Added, &[name]));
    }
    true
}
