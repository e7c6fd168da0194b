//! For the class: what an instructor does behind the learners' backs, and shows them afterwards.

mod faults;
mod keys;
mod view;

pub(crate) use keys::presenter_keys;
pub(crate) use view::presenter_panel;

use super::bench::take_part;
use super::desk::Desk;
use super::logic::nudge::{self, Nudge};
use super::logic::number::{signed, signed_length};
use super::words::{Word, say, tell};

use faults::{Kind, fault_for};
use nudgeproof::cell::{Fault, parts};
use nudgeproof::routine::same_place;
use nudgeproof::session::{Action, State};

/// From now on the sheet draws the part where it has been drawn so far.
fn conceal(state: &State) -> Action {
    Action::Conceal { part: state.part_shown().into() }
}

/// Plants the fault with values that suit the part, and keeps it secret.
pub(super) fn plant(desk: Desk, kind: Kind) {
    let state = desk.peek();
    let Some(fault) = fault_for(kind, &state) else {
        desk.tell_grave(say(Word::FaultDoesNotFit).into());
        return;
    };
    if desk.act_all(vec![Action::Plant { fault }, conceal(&state)]) {
        desk.tell(say(Word::SecretKept).into());
    }
}

/// Moves the part somewhere in its play; the sheet goes on drawing it where it was.
pub(super) fn move_in_secret(desk: Desk) {
    let state = desk.peek();
    let round = desk.nudges.get_untracked();
    desk.nudges.set(round + 1);
    let (seed, count) = desk.with_session(|s| (s.header().seed, s.actions().len()));
    let to = nudge::random(&state.part.play, seed, count * 1000 + round);
    desk.playback.set(None);
    if desk.act_all(vec![Action::PlacePart { part: to.file() }, conceal(&state)]) {
        desk.tell(say(Word::SecretKept).into());
    }
}

/// Shows everything as it truly is, and says what was kept secret.
pub(super) fn reveal(desk: Desk) {
    let state = desk.peek();
    if !state.concealed() {
        desk.tell(say(Word::NothingSecret).into());
        return;
    }
    let told = told(&state);
    if desk.act(Action::Reveal) {
        desk.tell(tell(Word::Revealed, &[&told]));
    }
}

/// The planted faults and, if it lies elsewhere than shown, the part's true place.
fn told(state: &State) -> String {
    let mut all: Vec<String> =
        state.faults.iter().map(|f| say(Kind::of(f).word()).into()).collect();
    if !same_place(state.part_shown(), state.work_from_part) {
        let n = Nudge::of(&state.work_from_part);
        let [x, y] = [n.dx, n.dy].map(|v| signed_length(v, 1));
        let turn = signed(n.turn_deg, 1);
        all.push(tell(Word::TrulyAt, &[&x, &y, &turn]));
    }
    all.join("; ")
}

/// Takes every planted fault away again, the wire's with a cut to its taught length.
pub(super) fn clear(desk: Desk) {
    let state = desk.peek();
    let mut actions = vec![Action::ClearFaults];
    let wire = |f: &Fault| matches!(f, Fault::WireBent { .. } | Fault::StickOutChanged { .. });
    if state.faults.iter().any(wire) {
        actions.insert(0, Action::CutWire { stick_out_mm: state.settings.stick_out_mm });
    }
    if desk.act_all(actions) {
        desk.tell(say(Word::FaultsCleared).into());
    }
}

/// The next part, with a seed of its own.
pub(super) fn next_part(desk: Desk) {
    let now = desk.peek().part.name.clone();
    let seed = desk.with_session(|s| s.header().seed);
    let all = parts();
    let at = all.iter().position(|p| p.name == now).map_or(0, |i| (i + 1) % all.len().max(1));
    if let Some(part) = all.into_iter().nth(at) {
        take_part(desk, part, seed.wrapping_add(1));
    }
}
