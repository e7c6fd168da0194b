//! For the instructor: faults and moves that are kept secret from the learners until they are
//! revealed.

mod view;

pub(crate) use view::PresenterPanel;

use super::bench::take_part;
use super::i18n::{Key, format, text};
use super::logic::nudge::{self, Nudge};
use super::logic::number::{signed, signed_length};
use super::workspace::Workspace;
use leptos::prelude::*;
use nudgeproof::cell::{FaultKind, Repair, parts};
use nudgeproof::routine::same_place;
use nudgeproof::session::{Action, State};

/// From here on the sheet draws the part where it is drawn now, even if it is moved.
fn conceal(state: &State) -> Action {
    Action::Conceal { part: state.part_shown().into() }
}

/// Plants the fault with values that suit the part, and keeps it secret.
fn plant(workspace: Workspace, kind: &FaultKind) {
    let state = workspace.state_untracked();
    let Some(fault) = (kind.typical)(&state.part, &state.settings) else {
        workspace.warn(text(Key::FaultDoesNotFit).into());
        return;
    };
    if workspace.act_all(vec![Action::Plant { fault }, conceal(&state)]) {
        workspace.notify(text(Key::SecretKept).into());
    }
}

/// Moves the part to a random place in its play; the sheet keeps drawing it where it was.
fn move_in_secret(workspace: Workspace) {
    let state = workspace.state_untracked();
    let round = workspace.nudges.get_untracked();
    workspace.nudges.set(round + 1);
    let (seed, count) = workspace.with_session(|s| (s.header().seed, s.actions().len()));
    let (to, bodies) = nudge::random(&state.part, seed, count * 1000 + round);
    workspace.playback.set(None);
    if workspace.act_all(vec![Action::PlacePart { part: to.file(), bodies }, conceal(&state)]) {
        workspace.notify(text(Key::SecretKept).into());
    }
}

/// Shows everything as it truly is, and names what was kept secret.
fn reveal(workspace: Workspace) {
    let state = workspace.state_untracked();
    if !state.concealed() {
        workspace.notify(text(Key::NothingSecret).into());
        return;
    }
    let secrets = secrets(&state);
    if workspace.act(Action::Reveal) {
        workspace.notify(format(Key::Revealed, &[&secrets]));
    }
}

/// The planted faults and, if it lies elsewhere than shown, the part's true place.
fn secrets(state: &State) -> String {
    let mut all: Vec<String> = state.faults.iter().map(|f| f.kind().says.into()).collect();
    if !same_place(state.part_shown(), state.work_from_part) {
        let n = Nudge::of(&state.work_from_part);
        let [x, y] = [n.dx, n.dy].map(|v| signed_length(v, 1));
        let turn = signed(n.turn_deg, 1);
        all.push(format(Key::TrulyAt, &[&x, &y, &turn]));
    }
    all.join("; ")
}

/// Clears every planted fault; a fault of the wire by cutting it to its taught length.
fn clear_faults(workspace: Workspace) {
    let state = workspace.state_untracked();
    let cut = Action::CutWire { stick_out_mm: state.settings.stick_out_mm };
    let actions = if state.faults.iter().any(|f| f.kind().repair == Repair::CutWire) {
        state.by_hand([cut, Action::ClearFaults])
    } else {
        vec![Action::ClearFaults]
    };
    if workspace.act_all(actions) {
        workspace.notify(text(Key::FaultsCleared).into());
    }
}

/// Takes the next built-in part, with the next seed.
fn next_part(workspace: Workspace) {
    let now = workspace.state_untracked().part.name.clone();
    let seed = workspace.with_session(|s| s.header().seed);
    let all = parts();
    let at = all.iter().position(|p| p.name == now).map_or(0, |i| (i + 1) % all.len().max(1));
    if let Some(part) = all.into_iter().nth(at) {
        take_part(workspace, part, seed.wrapping_add(1));
    }
}
