use super::step_icon::PieceIcon;
use crate::app::controls::{Group, ToggleButton};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::aim::Aim;
use crate::app::logic::palette::{Piece, Placing, part_box};
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;

/// The steps that can be added: each teaches the place of the torch and goes in after the step
/// that is selected.
#[component]
pub(super) fn Palette() -> impl IntoView {
    let workspace = workspace();
    let part_box = Memo::new(move |_| part_box(&workspace.part()));
    // What the learner chose; until then the way from the torch to the part.
    let chosen = RwSignal::new(None::<Aim>);
    let aim = Memo::new(move |_| {
        let (x, y) = part_box.get();
        chosen.get().unwrap_or_else(|| Aim::towards(&workspace.hand.read(), x, y))
    });
    let add = move |piece: Piece| {
        if add_piece(workspace, piece, aim.get_untracked()) {
            chosen.set(None);
        }
    };
    let place = move || {
        text(if workspace.cursor.get().is_some() { Key::AfterSelected } else { Key::AtTheEnd })
    };
    let pieces = Piece::ALL.map(|piece| {
        view! {
            <button
                type="button"
                class="piece"
                data-testid=format!("add-{}", piece.id())
                on:click=move |_| add(piece)
            >
                <PieceIcon piece />
                <span>{piece_name(piece)}</span>
            </button>
        }
    });
    view! {
        <fieldset class="palette" data-testid="palette">
            <legend>{text(Key::AddStep)} " " <span class="where">{place}</span></legend>
            <AimChoice aim on_choose=move |aim| chosen.set(Some(aim)) />
            <div class="pieces">{pieces.collect_view()}</div>
        </fieldset>
    }
}

/// The direction in which the next probe step feels.
#[component]
fn AimChoice(aim: Memo<Aim>, #[prop(into)] on_choose: Callback<Aim>) -> impl IntoView {
    let choices = Aim::ALL.map(|a| {
        view! {
            <ToggleButton
                test_id=format!("aim-{}", a.id())
                class="aim"
                attr:title=format(Key::AimTitle, &[a.label(), a.face()])
                pressed=move || aim.get() == a
                on:click=move |_| on_choose.run(a)
            >
                {a.label()}
            </ToggleButton>
        }
    });
    view! {
        <Group class="aims" name=text(Key::ProbeDirection)>
            <span class="aims-name">{text(Key::ProbeDirection)}</span>
            {choices.collect_view()}
            <span class="aim-face">{move || format(Key::AimFace, &[aim.get().face()])}</span>
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
    let (actions, added) = placing.actions(piece);
    if !workspace.act_all(actions) {
        return false;
    }
    let after = workspace.state_untracked();
    let last = after.routine.steps.get(at + added - 1);
    // While nothing is selected, steps are added at the end: it stays so.
    if selected.is_some() {
        workspace.cursor.set(last.map(|s| s.id));
    }
    let name = piece_name(piece);
    if piece.teaches(routine) {
        let point = last.and_then(|s| s.instruction.point()).unwrap_or_default();
        workspace.notify(format(Key::AddedTaught, &[name, point]));
    } else {
        workspace.notify(format(Key::Added, &[name]));
    }
    true
}

fn piece_name(piece: Piece) -> &'static str {
    text(match piece {
        Piece::Home => Key::AddHome,
        Piece::BeginProbing => Key::AddBegin,
        Piece::Arrive => Key::AddArrive,
        Piece::FinishProbing => Key::AddFinish,
        Piece::Clear => Key::AddClear,
        Piece::Follow => Key::AddFollow,
        Piece::Approach => Key::AddApproach,
        Piece::WeldStart => Key::AddWeldStart,
        Piece::WeldEnd => Key::AddWeldEnd,
        Piece::Retreat => Key::AddRetreat,
        Piece::StopFollowing => Key::AddStop,
    })
}
