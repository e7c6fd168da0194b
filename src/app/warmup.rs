//! Warms the program up. A browser compiles a function to machine code when it is first called, which
//! would slow the first press. So while the learner still reads the page, this goes through the same
//! actions on an empty session of its own, a small piece at a time.

use super::coaching::slice;
use super::logic::aim::Aim;
use super::logic::palette::{Piece, Placing};
use gloo::timers::callback::Timeout;
use nudgeproof::coach::{self, Pieces, Review};
use nudgeproof::routine::RunSpeed;
use nudgeproof::session::{Action, Header, Session};

/// How long the page has been there before it begins, ms.
const AFTER: u32 = 400;
/// From one piece to the next, ms: long enough to let a press in between.
const BETWEEN: u32 = 30;

/// The steps that are added: enough to probe and to run.
const PIECES: [Piece; 4] = [Piece::Home, Piece::BeginProbing, Piece::Arrive, Piece::FinishProbing];

/// Does once what a first press sets off.
pub(crate) fn warm_up(header: Header) {
    if let Ok(session) = Session::new(header) {
        soon(AFTER, Warming { session, reviewing: None, done: 0 });
    }
}

struct Warming {
    session: Session,
    reviewing: Option<Pieces<Review>>,
    done: usize,
}

fn soon(ms: u32, warming: Warming) {
    Timeout::new(ms, move || go_on(warming)).forget();
}

fn go_on(mut w: Warming) {
    // What comes of it is thrown away: nothing in it can fail the learner.
    if let Some(piece) = PIECES.get(w.done) {
        add(&mut w.session, *piece);
    } else if w.done == PIECES.len() {
        let _ = coach::check_routine(w.session.state());
    } else if w.done == PIECES.len() + 1 {
        let _ = w.session.act(Action::Run { speed: RunSpeed::Full, arc: false, steps: None });
    } else {
        let pieces = w.reviewing.get_or_insert_with(|| coach::review_in_pieces(w.session.clone()));
        if slice(pieces).is_some() {
            return;
        }
    }
    w.done += 1;
    soon(BETWEEN, w);
}

fn add(session: &mut Session, piece: Piece) {
    let state = session.state();
    let at = state.routine.steps.len();
    let aim = Aim::ALL[0];
    let (routine, torch) = (state.routine.clone(), state.torch);
    let placing = Placing { routine: &routine, torch, at, aim: aim.vector(), face: aim.face() };
    for action in placing.actions(piece).0 {
        let _ = session.act(action);
    }
    let _ = session.to_json();
}
