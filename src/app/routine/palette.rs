use super::step_icon::piece_icon;
use crate::app::controls::{Group, Icon, ToggleButton};
use crate::app::i18n::{Key, format, text};
use crate::app::keys::{CommandButton, KeyCommand, shortcuts};
use crate::app::logic::aim::Aim;
use crate::app::logic::next_steps::next_steps;
use crate::app::logic::palette::{Piece, Placing};
use crate::app::logic::seam_at::seam_at;
use crate::app::logic::usual_place::usual_place;
use crate::app::panels::panels;
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{Routine, StepId};

/// The steps that fit next, and behind *More* every other one. Each teaches the place of the torch, or its
/// usual place, and goes in after the step that is selected.
#[component]
pub(super) fn Palette() -> impl IntoView {
    let workspace = workspace();
    let open = panels().all_steps;
    let add = move |piece: Piece| {
        if add_piece(workspace, piece, workspace.aim.get_untracked()) {
            workspace.chosen_aim.set(None);
        }
    };
    let fits = Memo::new(move |_| {
        let routine = workspace.routine();
        next_steps(&routine, place_of_next(workspace.cursor.get(), &routine))
    });
    shortcuts().on(KeyCommand::AddNext, move || match fits.read_untracked().first() {
        Some(piece) => add(*piece),
        None => open.set(true),
    });
    let place = move || {
        text(if workspace.cursor.get().is_some() { Key::AfterSelected } else { Key::AtTheEnd })
    };
    let name = move |piece: Piece| match piece {
        Piece::Feel => format(Key::FeelAlong, &[workspace.aim.get().label()]),
        _ => text(piece.name()).to_owned(),
    };
    let pieces = Piece::ALL.map(|piece| {
        view! {
            <CommandButton
                command=KeyCommand::Add(piece)
                test_id=format!("add-{}", piece.id())
                act=move || add(piece)
                attr:class=move || piece_class(&fits.read(), piece)
            >
                <Icon d=piece_icon(piece) />
                <span>{move || name(piece)}</span>
            </CommandButton>
        }
    });
    view! {
        <fieldset class="palette" class:open=move || open.get() data-testid="palette">
            <legend>{text(Key::AddStep)} " " <span class="where">{place}</span></legend>
            <AimChoice />
            <div class="pieces">
                {pieces.collect_view()}
                <span class="whole" class:behind=move || !fits.read().is_empty() || open.get()>
                    {text(Key::RoutineWhole)}
                </span>
            </div>
            <button
                type="button"
                class="quiet more-steps"
                data-testid="more-steps"
                aria-expanded=move || open.get().to_string()
                on:click=move |_| open.update(|open| *open = !*open)
            >
                {move || text(if open.get() { Key::FewerSteps } else { Key::MoreSteps })}
            </button>
        </fieldset>
    }
}

/// The classes of a button: the first of those that fit stands out.
fn piece_class(fits: &[Piece], piece: Piece) -> &'static str {
    match fits.iter().position(|p| *p == piece) {
        Some(0) => "piece fits first",
        Some(_) => "piece fits",
        None => "piece",
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

/// Place of the next new step, from 0: after the one that is selected, or at the end.
fn place_of_next(cursor: Option<StepId>, routine: &Routine) -> usize {
    let selected = cursor.and_then(|id| routine.index_of(id));
    selected.map_or(routine.steps.len(), |i| i + 1)
}

/// Where a piece would be taught now: where the torch is; while it stands at a taught point, at the
/// usual place of such a step, where it has one.
fn place_of_point(workspace: Workspace, piece: Piece) -> Point3<f64> {
    let (state, torch) = (workspace.state_untracked(), workspace.hand.get_untracked());
    let stands_at_point = state.routine.points.iter().any(|p| (p.at - torch).norm() < 1e-6);
    let usual = stands_at_point.then(|| {
        let at = place_of_next(workspace.cursor.get_untracked(), &state.routine);
        usual_place(piece, &state.routine, at, seam_at(&state, &state.routine, at).as_ref())
    });
    usual.flatten().unwrap_or(torch)
}

/// Adds a piece where the learner is in the routine; false if that could not be done.
fn add_piece(workspace: Workspace, piece: Piece, aim: Aim) -> bool {
    add_piece_at(workspace, piece, aim, place_of_point(workspace, piece))
}

/// Adds a piece that is taught at a place, work frame, mm; false if that could not be done.
pub(crate) fn add_piece_at(
    workspace: Workspace,
    piece: Piece,
    aim: Aim,
    torch: Point3<f64>,
) -> bool {
    let state = workspace.state_untracked();
    let routine = &state.routine;
    let cursor = workspace.cursor.get_untracked();
    let at = place_of_next(cursor, routine);
    let placing = Placing { routine, torch, at, aim: aim.vector(), face: aim.face() };
    if !workspace.act_all(placing.actions(piece)) {
        return false;
    }
    let after = workspace.state_untracked();
    let added = after.routine.steps.get(at);
    // A find asks at once what the part may have done. Otherwise steps are added at the end while nothing
    // is selected, and it stays so.
    let asks = piece == Piece::Find;
    let selects = asks || cursor.is_some() && at < routine.steps.len();
    workspace.cursor.set(added.filter(|_| selects).map(|s| s.id));
    let name = text(piece.name());
    if piece.teaches(routine) {
        if torch != workspace.hand.get_untracked() {
            workspace.hold_torch(torch);
        }
        let point = added.and_then(|s| s.instruction.point()).unwrap_or_default();
        workspace.notify(format(Key::AddedTaught, &[name, point]));
    } else {
        workspace.notify(format(Key::Added, &[name]));
    }
    true
}
