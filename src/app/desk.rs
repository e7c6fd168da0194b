//! What the whole page shares: the session, and what is only on screen.

use super::coaching::Coaching;
use super::live::{Live, Var, memo};
use super::logic::playback::{Playback, RATE};
use super::logic::shown;
use super::show::{Show, tell_change};
use super::store::{self, Saved};
use super::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::cell::Part;
use nudgeproof::geometry::{Point3, Pose};
use nudgeproof::lesson::{Lesson, of_session_among};
use nudgeproof::routine::{Routine, RunLog, RunSpeed, StepId};
use nudgeproof::session::{Action, Session, State};
use std::sync::Arc;

/// The session's state at one moment; every action makes a new one.
#[derive(Debug, Clone)]
pub(crate) struct Now {
    number: u64,
    pub(crate) state: Arc<State>,
}

impl PartialEq for Now {
    fn eq(&self, other: &Self) -> bool {
        self.number == other.number
    }
}

/// Something said to the learner, and to a screen reader.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Notice {
    pub(crate) text: String,
    /// It needs an answer or a second look.
    pub(crate) grave: bool,
}

/// Work that other work took the place of: how many of it undo can bring back.
const PAST: usize = 5;

/// Gestures of the learner: each is one undo, however many actions it took.
#[derive(Debug, Default)]
struct Gestures {
    done: Vec<usize>,
    undone: Vec<usize>,
}

/// The desk of this page: small, so that every handler can have its own copy.
#[derive(Clone, Copy)]
pub(crate) struct Desk(&'static Signals);

impl std::ops::Deref for Desk {
    type Target = Signals;

    fn deref(&self) -> &Signals {
        self.0
    }
}

/// Sessions with their gestures, the one nearest to the present last.
type Sessions = StoredValue<Vec<(Session, Gestures)>>;

/// The session and everything on screen that is not of the session.
pub(crate) struct Signals {
    session: StoredValue<Session>,
    gestures: StoredValue<Gestures>,
    /// Sessions before and after this one, as undo and redo reach them.
    past: Sessions,
    future: Sessions,
    /// The attempt at a lesson that the session is, if it is one.
    pub(crate) attempt: Var<Option<Arc<Lesson>>>,
    /// Lessons that were read from disk.
    pub(crate) own_lessons: Var<Vec<Lesson>>,
    /// The text that this window last wrote to or read from storage.
    known: StoredValue<Option<String>>,
    pub(crate) now: Var<Now>,
    /// Where the learner holds the torch, work frame, mm.
    pub(crate) hand: Var<Point3<f64>>,
    /// The part while it is being dragged.
    pub(crate) dragged: Var<Option<Pose>>,
    /// The step that is selected; new steps go in after it.
    pub(crate) cursor: Var<Option<StepId>>,
    pub(crate) playback: Show,
    /// Seconds of a run in one second of the viewer's.
    pub(crate) rate: Var<f64>,
    pub(crate) speed: Var<RunSpeed>,
    pub(crate) arc: Var<bool>,
    pub(crate) notice: Var<Notice>,
    /// Storage holds other work than this window's.
    pub(crate) other_work: Var<bool>,
    /// The browser did not keep what was done last.
    pub(crate) unsaved: Var<bool>,
    pub(crate) can_undo: Var<bool>,
    pub(crate) can_redo: Var<bool>,
    /// What the coach says of the session.
    pub(crate) review: Coaching,
    /// The runs as they may be shown.
    pub(crate) runs: Var<Vec<Arc<RunLog>>>,
    /// The step that is under way in the run on show.
    pub(crate) step_on_show: Live<Option<StepId>>,
    routine: Var<Arc<Routine>>,
    /// The part as it may be drawn: the one that truly lies there once a fault is revealed.
    drawn: Var<Arc<Part>>,
    /// How often 'nudge me' was pressed: its next seed.
    pub(crate) nudges: Var<usize>,
}

impl Desk {
    /// A desk with this session on it. The page has one for as long as it lives.
    pub(crate) fn new(session: Session, known: Option<String>) -> Self {
        let state = session.state().clone();
        let attempt = of_session_among(&session, &[]).map(Arc::new);
        let can_undo = session.actions().len() > floor_of(attempt.as_ref());
        let can_redo = session.can_redo();
        let hand = Var::new(state.torch);
        let routine = Var::new(state.routine.clone());
        let drawn = Var::new(state.true_part_shown());
        let session = StoredValue::new(session);
        let now = Var::new(Now { number: 0, state: state.clone() });
        let runs = Var::new(shown::runs(&state));
        let playback = Show::new(runs);
        let review = Coaching::new(session, playback);
        let step_on_show = memo(move || {
            let p = playback.beat()?;
            runs.with(|all| all.get(p.run)?.step_at(p.t))
        });
        Self(Box::leak(Box::new(Signals {
            session,
            gestures: StoredValue::default(),
            past: StoredValue::default(),
            future: StoredValue::default(),
            attempt: Var::new(attempt),
            own_lessons: Var::default(),
            known: StoredValue::new(known),
            now,
            hand,
            dragged: Var::new(None),
            cursor: Var::new(None),
            playback,
            rate: Var::new(RATE),
            speed: Var::new(RunSpeed::Reduced),
            arc: Var::new(false),
            notice: Var::default(),
            other_work: Var::new(false),
            unsaved: Var::new(false),
            can_undo: Var::new(can_undo),
            can_redo: Var::new(can_redo),
            review,
            runs,
            step_on_show,
            routine,
            drawn,
            nudges: Var::new(0),
        })))
    }
}

impl Signals {
    /// The state, tracked.
    pub(crate) fn state(&self) -> Arc<State> {
        self.now.read().state.clone()
    }

    /// The state, not tracked: for handlers.
    pub(crate) fn peek(&self) -> Arc<State> {
        self.now.read_untracked().state.clone()
    }

    pub(crate) fn routine(&self) -> Arc<Routine> {
        self.routine.get()
    }

    pub(crate) fn part(&self) -> Arc<Part> {
        self.drawn.get()
    }

    /// Reads the session itself, not tracked.
    pub(crate) fn with_session<T>(&self, read: impl FnOnce(&Session) -> T) -> T {
        self.session.with_value(read)
    }

    /// Does one action; false, and a word to the learner, if it cannot be done.
    pub(crate) fn act(&self, action: Action) -> bool {
        self.act_all(vec![action])
    }

    /// Does several actions as one gesture: all of them or none.
    pub(crate) fn act_all(&self, actions: Vec<Action>) -> bool {
        let wanted = actions.len();
        let mut done = 0;
        let failed = self.session.try_update_value(|session| {
            for action in actions {
                if let Err(why) = session.act(action) {
                    for _ in 0..done {
                        session.undo();
                    }
                    return Some(why.to_string());
                }
                done += 1;
            }
            None
        });
        if let Some(why) = failed.flatten() {
            self.tell_grave(tell(Word::CannotDo, &[&why]));
            return false;
        }
        self.gestures.update_value(|g| {
            g.done.push(wanted);
            g.undone.clear();
        });
        self.future.update_value(Vec::clear);
        self.refresh();
        true
    }

    /// How many actions belong to the start of a lesson: undo stops there.
    fn floor(&self) -> usize {
        floor_of((*self.attempt.read_untracked()).as_ref())
    }

    /// Takes the last gesture back; where there is none in this work, that it came onto the desk.
    pub(crate) fn undo(&self) {
        let came = self.gestures.with_value(|g| g.done.is_empty());
        if came && self.past.with_value(|all| !all.is_empty()) {
            self.swap_session(self.past, self.future, Word::Undone);
            return;
        }
        let floor = self.floor();
        let own = self.session.with_value(|s| s.actions().len().saturating_sub(floor));
        let count = self.gestures.try_update_value(|g| g.done.pop()).flatten().unwrap_or(1);
        let undone =
            self.session.try_update_value(|s| (0..count.min(own)).filter(|_| s.undo()).count());
        if let Some(n @ 1..) = undone {
            self.gestures.update_value(|g| g.undone.push(n));
            self.after_time_travel(Word::Undone);
        }
    }

    /// Does again what was taken back.
    pub(crate) fn redo(&self) {
        if !self.session.with_value(Session::can_redo) {
            self.swap_session(self.future, self.past, Word::Redone);
            return;
        }
        let count = self.gestures.try_update_value(|g| g.undone.pop()).flatten().unwrap_or(1);
        let redone = self.session.try_update_value(|s| (0..count).filter(|_| s.redo()).count());
        if let Some(n @ 1..) = redone {
            self.gestures.update_value(|g| g.done.push(n));
            self.after_time_travel(Word::Redone);
        }
    }

    /// Puts the nearest session of `from` on the desk, and the present one into `to`.
    fn swap_session(&self, from: Sessions, to: Sessions, word: Word) {
        let Some((session, gestures)) = from.try_update_value(Vec::pop).flatten() else { return };
        to.update_value(|all| all.push(self.take_place(session, gestures)));
        self.after_time_travel(word);
    }

    /// Puts a session into the place of the present one, which is handed out.
    fn take_place(&self, session: Session, gestures: Gestures) -> (Session, Gestures) {
        let before = self.session.try_update_value(|s| std::mem::replace(s, session));
        let done = self.gestures.try_update_value(|g| std::mem::replace(g, gestures));
        self.find_attempt();
        before.zip(done).expect("the desk lasts as long as the page")
    }

    fn after_time_travel(&self, word: Word) {
        self.playback.set(None);
        self.refresh();
        let state = self.peek();
        self.hand.set(state.torch);
        if self.cursor.get_untracked().is_some_and(|id| state.routine.index_of(id).is_none()) {
            self.cursor.set(None);
        }
        self.tell(say(word).into());
    }

    /// Puts another session on the desk. Work that is there is put aside; undo brings it back.
    /// False if there was no room to put it aside, which is then said.
    pub(crate) fn replace(&self, session: Session) -> bool {
        let mut kept = true;
        // How a lesson begins is nobody's work.
        let floor = self.floor();
        self.hand.set(session.state().torch);
        self.speed.set(RunSpeed::Reduced);
        self.arc.set(false);
        let before = self.take_place(session, Gestures::default());
        if before.0.actions().len() > floor {
            kept = store::put_aside(&before.0.to_json());
            if kept {
                self.tell(say(Word::WorkPutAside).into());
            } else {
                // What stands in storage is then not to be saved over.
                self.known.set_value(None);
                self.tell_grave(say(Word::NoRoomAside).into());
            }
            self.past.update_value(|all| {
                all.push(before);
                let beyond = all.len().saturating_sub(PAST);
                all.drain(..beyond);
            });
        }
        self.future.update_value(Vec::clear);
        self.playback.set(None);
        self.cursor.set(None);
        self.dragged.set(None);
        self.refresh();
        kept
    }

    /// Finds the attempt that the session belongs to: anew when lessons have come from disk.
    pub(crate) fn find_attempt(&self) {
        let own = self.own_lessons.read_untracked();
        let attempt = self.session.with_value(|s| of_session_among(s, &own));
        self.attempt.set(attempt.map(Arc::new));
    }

    fn refresh(&self) {
        let floor = self.floor();
        let (state, can_undo, can_redo, text) = self.session.with_value(|s| {
            let can_undo = s.actions().len() > floor;
            (s.state().clone(), can_undo, s.can_redo(), s.to_json())
        });
        let number = self.now.read_untracked().number + 1;
        // What an action leaves alone is not told: most views read only one of these.
        tell_other(self.routine, state.routine.clone());
        tell_other(self.drawn, state.true_part_shown());
        tell_runs(self.runs, shown::runs(&state));
        self.now.set(Now { number, state });
        tell_change(self.can_undo, can_undo || self.past.with_value(|all| !all.is_empty()));
        tell_change(self.can_redo, can_redo || self.future.with_value(|all| !all.is_empty()));
        self.review.look_again();
        self.save(&text);
    }

    fn save(&self, text: &str) {
        let known = self.known.get_value();
        let saved = store::save(text, known.as_deref());
        match saved {
            Saved::Yes => self.known.set_value(Some(text.to_owned())),
            Saved::OtherWork => self.other_work.set(true),
            Saved::Impossible => {}
        }
        self.unsaved.set(saved == Saved::Impossible);
    }

    /// Saves this window's work over what another window saved, which is put aside.
    pub(crate) fn keep_mine(&self) {
        let text = self.session.with_value(Session::to_json);
        let saved = store::save_over(&text);
        if saved == Saved::Yes {
            self.known.set_value(Some(text));
        }
        self.unsaved.set(saved == Saved::Impossible);
        self.other_work.set(false);
    }

    /// Says something in passing.
    pub(crate) fn tell(&self, text: String) {
        self.notice.set(Notice { text, grave: false });
    }

    /// Says something that should not be missed.
    pub(crate) fn tell_grave(&self, text: String) {
        self.notice.set(Notice { text, grave: true });
    }

    /// The run on show, if one is; told on only when another one is.
    pub(crate) fn log_on_show(&self) -> Option<Arc<RunLog>> {
        self.log_of(self.playback.run()?)
    }

    fn log_of(&self, run: usize) -> Option<Arc<RunLog>> {
        self.runs.read().get(run).cloned()
    }

    /// The run on show, if one is, and the moment shown, frame by frame.
    pub(crate) fn on_show(&self) -> Option<(Arc<RunLog>, Playback)> {
        let playback = self.playback.get()?;
        Some((self.log_of(playback.run)?, playback))
    }

    /// The run on show, if one is, and how far it is: told where something begins or ends in it.
    pub(crate) fn at_beat(&self) -> Option<(Arc<RunLog>, Playback)> {
        let playback = self.playback.beat()?;
        Some((self.log_of(playback.run)?, playback))
    }

    /// The run that the sheet speaks of, and up to which moment: the one on show so far, or all of
    /// the last.
    pub(crate) fn shown_so_far(&self) -> Option<(Arc<RunLog>, f64)> {
        let on_show = self.at_beat().map(|(log, p)| (log, p.t));
        on_show.or_else(|| {
            let log = self.shown_run()?;
            let t = log.duration;
            Some((log, t))
        })
    }

    /// The run that the sheet speaks of: the one on show, or the last.
    pub(crate) fn shown_run(&self) -> Option<Arc<RunLog>> {
        self.log_on_show().or_else(|| self.runs.read().last().cloned())
    }

    /// Takes the torch in hand: whatever was playing stops.
    pub(crate) fn hold_torch(&self, at: Point3<f64>) {
        if self.playback.get_untracked().is_some() {
            self.playback.set(None);
        }
        self.hand.set(at);
    }
}

fn floor_of(attempt: Option<&Arc<Lesson>>) -> usize {
    attempt.map_or(0, |lesson| lesson.begun())
}

/// The desk of this page.
pub(crate) fn desk() -> Desk {
    expect_context()
}

/// Tells of another routine or part; the same one is no news.
fn tell_other<T: PartialEq + Send + Sync + 'static>(signal: Var<Arc<T>>, to: Arc<T>) {
    if !Arc::ptr_eq(&*signal.read_untracked(), &to) {
        tell_change(signal, to);
    }
}

fn tell_runs(signal: Var<Vec<Arc<RunLog>>>, to: Vec<Arc<RunLog>>) {
    let before = signal.read_untracked().clone();
    let same = |(a, b): (&Arc<RunLog>, &Arc<RunLog>)| Arc::ptr_eq(a, b) || a == b;
    if before.len() != to.len() || !before.iter().zip(&to).all(same) {
        signal.set(to);
    }
}
