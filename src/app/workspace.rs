//! What the whole page shares: the session, and what is only on screen.

use super::coaching::Coaching;
use super::house_rules;
use super::i18n::{Key, format, text};
use super::logic::aim::Aim;
use super::logic::describe;
use super::logic::palette::part_box;
use super::logic::playback::{Playback, RATE};
use super::logic::shown::{self, Change};
use super::logic::time_line::step_on_show;
use super::playback_state::PlaybackState;
use super::storage::{self, Ended, Place};
use super::told_session::ToldSession;
use js_sys::Date;
use leptos::prelude::*;
use nudgeproof::cell::Part;
use nudgeproof::geometry::{Point3, Pose};
use nudgeproof::lesson::{Lesson, of_session_among};
use nudgeproof::routine::{Routine, RunLog, RunSpeed, StepId};
use nudgeproof::session::{
    Action, ActionError, HouseRules, Journal, Moment, Record, Session, State, Told,
};
use std::ops::Deref;
use std::sync::Arc;

/// A message to the learner, also read out by screen readers.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Notice {
    pub(crate) text: String,
    /// It needs an answer or a second look.
    pub(crate) grave: bool,
    /// When, by the browser's clock, ms.
    at: u64,
}

impl Notice {
    fn new(text: String, grave: bool) -> Self {
        Self { text, grave, at: Date::now() as u64 }
    }
}

/// A message that led to another place is not older than this when that is reached, ms.
const JUST_NOW: u64 = 1000;

/// Number of replaced sessions that undo can restore.
const PAST: usize = 5;

/// Sessions with the number of actions they were opened with, the one nearest to the present last.
type Sessions = RwSignal<Vec<(Session, usize)>>;

/// Number of actions that are told of a session.
fn told_actions(session: &Session) -> usize {
    Told::of(session, None).map_or(session.actions().len(), |told| told.session().actions().len())
}

/// The session, what is derived from it, and everything on screen that is not part of it.
///
/// One pointer, so that every handler can have its own copy: the signals live as long as the page.
#[derive(Clone, Copy)]
pub(crate) struct Workspace(&'static WorkspaceSignals);

impl Deref for Workspace {
    type Target = WorkspaceSignals;

    fn deref(&self) -> &WorkspaceSignals {
        self.0
    }
}

/// The signals of a [`Workspace`].
///
/// Derived values are memos that compare by `Arc`: an action notifies only the views of what it
/// changed.
pub(crate) struct WorkspaceSignals {
    /// The session as it truly is; only what stores it, and the instructor, may look at it.
    session: RwSignal<Session>,
    told: ToldSession,
    /// What was told last: changes with what is told, and not with what is done in secret.
    moment: Memo<Option<Moment>>,
    /// Number of actions the session was opened with.
    opened: StoredValue<usize>,
    /// Sessions before and after this one, as undo and redo reach them.
    past: Sessions,
    future: Sessions,
    /// The lesson that the session is an attempt at, if it is one.
    pub(crate) attempt: RwSignal<Option<Arc<Lesson>>>,
    /// Lessons read from disk.
    pub(crate) own_lessons: RwSignal<Vec<Arc<Lesson>>>,
    /// The house rules by which what is begun here is judged.
    pub(crate) house_rules: RwSignal<Option<Arc<HouseRules>>>,
    /// Whether the browser stores the session.
    stored: bool,
    /// What is stored of it.
    journal: StoredValue<Journal>,
    state: Memo<Arc<State>>,
    routine: Memo<Arc<Routine>>,
    /// The part as it may be drawn: the one that truly lies there once a fault is revealed.
    part: Memo<Arc<Part>>,
    /// The runs as they may be shown.
    pub(crate) runs: Memo<Vec<Arc<RunLog>>>,
    pub(crate) can_undo: Memo<bool>,
    pub(crate) can_redo: Memo<bool>,
    /// Where the learner holds the torch, work frame, mm.
    pub(crate) hand: RwSignal<Point3<f64>>,
    /// The part while it is being dragged.
    pub(crate) dragged: RwSignal<Option<Pose>>,
    /// The direction of the next feel, if the learner chose one.
    pub(crate) chosen_aim: RwSignal<Option<Aim>>,
    /// The direction of the next feel: the chosen one, or else the way from the torch to the part.
    pub(crate) aim: Memo<Aim>,
    /// The step that is selected; new steps go in after it.
    pub(crate) cursor: RwSignal<Option<StepId>>,
    pub(crate) playback: PlaybackState,
    /// The step under way in the run on show.
    pub(crate) step_on_show: Memo<Option<StepId>>,
    telling: Memo<Telling>,
    /// Seconds of a run in one second of the viewer's time.
    pub(crate) rate: RwSignal<f64>,
    pub(crate) speed: RwSignal<RunSpeed>,
    pub(crate) arc: RwSignal<bool>,
    pub(crate) notice: RwSignal<Notice>,
    /// Storage holds other work than this window's.
    pub(crate) other_work: RwSignal<bool>,
    /// The browser did not store what was done last.
    pub(crate) unsaved: RwSignal<bool>,
    /// Counts what became of texts that are kept otherwise than this window asked.
    pub(crate) kept_otherwise: RwSignal<usize>,
    /// The coach's review of the session.
    pub(crate) review: Coaching,
    /// How often 'nudge me' was pressed: its next seed.
    pub(crate) nudges: RwSignal<usize>,
}

/// A memo of shared data; does not notify if the `Arc` is unchanged.
fn shared<T: Send + Sync + 'static>(
    read: impl Fn() -> Arc<T> + Send + Sync + 'static,
) -> Memo<Arc<T>> {
    Memo::new_with_compare(
        move |_| read(),
        |old, new| !matches!((old, new), (Some(old), Some(new)) if Arc::ptr_eq(old, new)),
    )
}

/// How much of the runs has been seen, and so may be told.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Telling {
    /// The newest run that was shown to its end, by its number from 0, and how long it was then, s.
    told: Option<(usize, f64)>,
    /// The newest run is on show for the first time, and not at its end.
    plays_still: bool,
}

fn same_runs(a: &[Arc<RunLog>], b: &[Arc<RunLog>]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| Arc::ptr_eq(a, b) || a == b)
}

impl Workspace {
    /// A workspace with this session in it, of which so much is stored.
    pub(crate) fn new(session: Session, journal: Journal) -> Self {
        Self::create(session, journal, true)
    }

    /// A workspace of which nothing is stored.
    pub(crate) fn not_stored(session: Session) -> Self {
        Self::create(session, Journal::default(), false)
    }

    fn create(session: Session, journal: Journal, stored: bool) -> Self {
        let attempt = RwSignal::new(of_session_among(&session, &[]).map(Arc::new));
        let hand = RwSignal::new(session.state().torch);
        let opened = StoredValue::new(told_actions(&session));
        let session = RwSignal::new(session);
        let told = ToldSession::new(session);
        let past = Sessions::default();
        let future = Sessions::default();
        let state = shared(move || told.with(|s| s.state().clone()));
        let runs = Memo::new_with_compare(
            move |_| shown::runs(&state.read()),
            |old, new| !matches!((old, new), (Some(old), Some(new)) if same_runs(old, new)),
        );
        let playback = PlaybackState::new(runs);
        let part = Memo::new(move |_| state.read().true_part_shown());
        let part_box = Memo::new(move |_| part_box(&part.read()));
        let chosen_aim = RwSignal::new(None::<Aim>);
        Self(Box::leak(Box::new(WorkspaceSignals {
            session,
            told,
            moment: Memo::new(move |_| told.with(|s| s.moment(s.actions().len()))),
            opened,
            past,
            future,
            attempt,
            own_lessons: RwSignal::default(),
            house_rules: RwSignal::new(house_rules::stored()),
            stored,
            journal: StoredValue::new(journal),
            state,
            routine: shared(move || state.read().routine.clone()),
            part,
            runs,
            can_undo: Memo::new(move |_| {
                let (attempt, aside) = (attempt.get(), past.with(|all| !all.is_empty()));
                told.with(|s| {
                    let count = s.actions().len();
                    // What took time in a drill stays: then there is no way back to the work before either.
                    count > floor_of(attempt.as_ref(), s) || (aside && count <= opened.get_value())
                })
            }),
            can_redo: Memo::new(move |_| {
                session.read().can_redo() || future.with(|all| !all.is_empty())
            }),
            hand,
            dragged: RwSignal::new(None),
            chosen_aim,
            aim: Memo::new(move |_| {
                let (x, y) = part_box.get();
                chosen_aim.get().unwrap_or_else(|| Aim::towards(&hand.read(), x, y))
            }),
            cursor: RwSignal::new(None),
            playback,
            step_on_show: Memo::new(move |_| {
                let p = playback.beat()?;
                step_on_show(runs.read().get(p.run)?, p.moment())
            }),
            telling: Memo::new(move |before: Option<&Telling>| {
                let newest =
                    runs.with(|all| Some((all.len().checked_sub(1)?, all.last()?.duration)));
                let on_way = playback
                    .beat()
                    .is_some_and(|p| newest.is_some_and(|(run, _)| run == p.run) && p.t < p.until);
                let told = before.and_then(|before| before.told);
                Telling {
                    told: if on_way { told } else { newest },
                    plays_still: on_way && told != newest,
                }
            }),
            rate: RwSignal::new(RATE),
            speed: RwSignal::new(RunSpeed::Reduced),
            arc: RwSignal::new(false),
            notice: RwSignal::default(),
            other_work: RwSignal::new(false),
            unsaved: RwSignal::new(false),
            kept_otherwise: RwSignal::new(0),
            review: Coaching::new(told, playback),
            nudges: RwSignal::new(0),
        })))
    }

    /// The state, tracked.
    pub(crate) fn state(self) -> Arc<State> {
        self.state.get()
    }

    /// The state, not tracked: for handlers.
    pub(crate) fn state_untracked(self) -> Arc<State> {
        self.state.get_untracked()
    }

    /// The routine, tracked.
    pub(crate) fn routine(self) -> Arc<Routine> {
        self.routine.get()
    }

    /// The part as it may be drawn, tracked.
    pub(crate) fn part(self) -> Arc<Part> {
        self.part.get()
    }

    /// Reads the session as it is told, not tracked.
    pub(crate) fn with_session<T>(self, read: impl FnOnce(&Session) -> T) -> T {
        self.told.with_untracked(read)
    }

    /// Reads the session as it truly is, not tracked: for storing it, and for the instructor.
    pub(crate) fn with_truth<T>(self, read: impl FnOnce(&Session) -> T) -> T {
        self.session.with_untracked(read)
    }

    /// Tracks the session as it truly is: for the instructor.
    pub(crate) fn track_truth(self) {
        self.session.track();
    }

    /// Whether something done in secret has not been revealed; tracked.
    pub(crate) fn keeps_secret(self) -> bool {
        self.told.leaves_out()
    }

    /// Tracks every change of the session that is told.
    pub(crate) fn track_session(self) {
        // Read, and not only tracked: a memo that nobody has read yet follows nothing.
        self.moment.with(|_| ());
    }

    /// Does one action. If it cannot be done, warns the learner and returns false.
    pub(crate) fn act(self, action: Action) -> bool {
        self.act_all(vec![action])
    }

    /// Does several actions as one gesture: all of them or none.
    pub(crate) fn act_all(self, actions: Vec<Action>) -> bool {
        let failed = self.session.try_update(|session| session.act_all(actions).err());
        if let Some(why) = failed.flatten() {
            self.warn(format(Key::CannotDo, &[&describe::refusal(&why)]));
            return false;
        }
        self.future.update(Vec::clear);
        // What was wrong before has been put right, or given up.
        if self.notice.with_untracked(|notice| notice.grave) {
            self.notice.set(Notice::default());
        }
        self.changed();
        true
    }

    /// Does as one gesture what an instructor does in secret. Nothing on the page changes.
    ///
    /// # Errors
    /// Why it cannot be done.
    pub(crate) fn act_in_secret(self, actions: Vec<Action>) -> Result<(), ActionError> {
        let done = self.session.try_update(|session| session.act_all(actions));
        self.store(None);
        done.unwrap_or(Ok(()))
    }

    /// How many actions undo leaves alone in a lesson.
    fn floor(self) -> usize {
        let attempt = self.attempt.read_untracked();
        self.with_session(|s| floor_of(attempt.as_ref(), s))
    }

    /// Takes the last gesture back; where there is none in this work, that it came onto the workspace.
    pub(crate) fn undo(self) {
        let (count, opened) = (self.with_session(|s| s.actions().len()), self.opened.get_value());
        if count <= opened && self.past.with_untracked(|all| !all.is_empty()) {
            self.swap_session(self.past, self.future, Key::Undone);
        } else if count > self.floor() && self.session.try_update(Session::undo) == Some(true) {
            self.after_time_travel(Key::Undone);
        }
    }

    /// Does again what was taken back.
    pub(crate) fn redo(self) {
        if !self.session.with_untracked(Session::can_redo) {
            self.swap_session(self.future, self.past, Key::Redone);
            return;
        }
        if self.session.try_update(Session::redo) == Some(true) {
            self.after_time_travel(Key::Redone);
        }
    }

    /// Puts the nearest session of `from` on the workspace, and the present one into `to`.
    fn swap_session(self, from: Sessions, to: Sessions, word: Key) {
        let Some((session, opened)) = from.try_update(Vec::pop).flatten() else { return };
        let before = self.take_place(session, opened);
        to.update(|all| all.push(before));
        self.after_time_travel(word);
    }

    /// Puts a session into the place of the present one, which is handed out.
    fn take_place(self, session: Session, opened: usize) -> (Session, usize) {
        let before = self.session.try_update(|s| std::mem::replace(s, session));
        let opened = self.opened.try_update_value(|n| std::mem::replace(n, opened));
        self.find_attempt();
        before.zip(opened).expect("the workspace lasts as long as the page")
    }

    fn after_time_travel(self, word: Key) {
        self.playback.set(None);
        self.changed();
        let state = self.state_untracked();
        self.hand.set(state.torch);
        if self.cursor.get_untracked().is_some_and(|id| state.routine.index_of(id).is_none()) {
            self.cursor.set(None);
        }
        self.notify(text(word).into());
    }

    /// Whether the session holds work of the learner: more than the start of a lesson.
    pub(crate) fn has_work(self) -> bool {
        let attempt = self.attempt.read_untracked();
        let begun = |s: &Session| attempt.as_ref().map_or(0, |lesson| lesson.start_actions_in(s));
        self.with_session(|s| s.actions().len() > begun(s))
    }

    /// Begins a session, judged by the house rules of this page. Work that is there is put aside, as by
    /// [`replace`](Self::replace).
    pub(crate) fn begin(self, session: Session) -> bool {
        let house = self.house_rules.get_untracked();
        // What was done could be done: it can be done again.
        self.replace(session.under(house).unwrap_or(session))
    }

    /// From now on the work that is there, and all that is begun, is judged by these house rules.
    pub(crate) fn judge_by(self, house: Option<Arc<HouseRules>>) {
        self.house_rules.set(house.clone());
        let Ok(session) = self.session.with_untracked(|session| session.under(house)) else {
            return;
        };
        self.session.set(session);
        self.future.update(Vec::clear);
        self.find_attempt();
        self.changed();
    }

    /// Puts another session on the workspace. Work that is there is put aside; undo brings it back.
    /// False if the browser keeps nothing, which is then said.
    pub(crate) fn replace(self, session: Session) -> bool {
        let kept = storage::place() != Place::None;
        // A lesson's setup actions do not count as user work.
        let has_work = self.has_work();
        self.hand.set(session.state().torch);
        self.speed.set(RunSpeed::Reduced);
        self.arc.set(false);
        let opened = told_actions(&session);
        let before = self.take_place(session, opened);
        let aside = has_work.then(|| before.0.to_json());
        if has_work {
            if kept {
                self.notify(text(Key::WorkPutAside).into());
            }
            self.past.update(|all| {
                all.push(before);
                let beyond = all.len().saturating_sub(PAST);
                all.drain(..beyond);
            });
        }
        self.future.update(Vec::clear);
        self.playback.set(None);
        self.cursor.set(None);
        self.dragged.set(None);
        self.review.look_again();
        self.store(aside.as_deref());
        kept || !has_work
    }

    /// Finds the attempt that the session belongs to: anew when lessons have come from disk.
    pub(crate) fn find_attempt(self) {
        let own = self.own_lessons.read_untracked();
        let attempt = self.session.with_untracked(|s| of_session_among(s, &own));
        self.attempt.set(attempt.map(Arc::new));
    }

    /// After each change of the session: the coach looks again, the browser stores it.
    fn changed(self) {
        self.review.look_again();
        self.store(None);
    }

    /// Stores what has changed, and with it work that made room.
    fn store(self, aside: Option<&str>) {
        if !self.stored {
            return;
        }
        if let Some(record) = self.next_record() {
            storage::append(&record, aside);
        }
    }

    fn next_record(self) -> Option<Record> {
        let next = |journal: &mut Journal| self.session.with_untracked(|s| journal.record(s));
        self.journal.try_update_value(next).flatten()
    }

    /// Follows how each change of what is stored ends.
    pub(crate) fn follow_storage(self) {
        storage::listen(move |ended, work, name| match ended {
            Ended::Stored if work => self.unsaved.set(false),
            Ended::Stored => {}
            Ended::OtherWork => self.other_work.set(true),
            Ended::Elsewhere => self.kept_otherwise.update(|n| *n += 1),
            Ended::Failed => {
                if work {
                    // What is stored is not what was asked for: the next record is a whole session.
                    self.journal.set_value(Journal::default());
                    self.unsaved.set(true);
                }
                if !name.is_empty() {
                    self.kept_otherwise.update(|n| *n += 1);
                    self.warn(text(storage::not_kept(name)).into());
                }
            }
        });
    }

    /// Saves this window's work over what another window saved, which is put aside.
    pub(crate) fn keep_mine(self) {
        self.journal.set_value(Journal::default());
        if let Some(record) = self.next_record() {
            storage::take_over(&record);
        }
        self.other_work.set(false);
    }

    /// Shows a short message.
    pub(crate) fn notify(self, text: String) {
        self.notice.set(Notice::new(text, false));
    }

    /// Shows a message that needs attention.
    pub(crate) fn warn(self, text: String) {
        self.notice.set(Notice::new(text, true));
    }

    /// Takes away what was said in the place before, but for what led to this one.
    pub(crate) fn forget_notice(self) {
        if Date::now() as u64 > self.notice.with_untracked(|n| n.at) + JUST_NOW {
            self.notice.set(Notice::default());
        }
    }

    /// The run on show, if one is; notifies only if the run changes.
    pub(crate) fn log_on_show(self) -> Option<Arc<RunLog>> {
        self.log_of(self.playback.run()?)
    }

    pub(crate) fn log_of(self, run: usize) -> Option<Arc<RunLog>> {
        self.runs.read().get(run).cloned()
    }

    /// The run on show, if one is, and the moment shown, frame by frame.
    pub(crate) fn on_show(self) -> Option<(Arc<RunLog>, Playback)> {
        let playback = self.playback.get()?;
        Some((self.log_of(playback.run)?, playback))
    }

    /// The run on show, if one is, and how far it is: notifies when something in it begins or ends.
    pub(crate) fn at_beat(self) -> Option<(Arc<RunLog>, Playback)> {
        let playback = self.playback.beat()?;
        Some((self.log_of(playback.run)?, playback))
    }

    /// The run in the texts of the sheet, and up to which moment: the one on show so far, or all of
    /// the last.
    pub(crate) fn shown_so_far(self) -> Option<(Arc<RunLog>, f64)> {
        let on_show = self.at_beat().map(|(log, p)| (log, p.t));
        on_show.or_else(|| {
            let log = self.shown_run()?;
            let t = log.duration;
            Some((log, t))
        })
    }

    /// The run in the texts of the sheet: the one on show, or the last.
    pub(crate) fn shown_run(self) -> Option<Arc<RunLog>> {
        self.log_on_show().or_else(|| self.runs.read().last().cloned())
    }

    /// Whether the newest run is on show and has not come to its end yet: nothing is told of it that
    /// has not been seen.
    pub(crate) fn plays_still(self) -> bool {
        self.telling.read().plays_still
    }

    /// Its place among the runs, from 0.
    pub(crate) fn shown_index(self) -> Option<usize> {
        let last = || self.runs.read().len().checked_sub(1);
        self.playback.run().or_else(last)
    }

    /// The number of the run whose results are in the texts of the sheet, if part or routine have
    /// changed since, and which.
    pub(crate) fn past_run(self) -> Option<(usize, Change)> {
        let (index, log, state) = (self.shown_index()?, self.shown_run()?, self.state());
        Some((log.number, shown::changed_since(&state, index, &log)?))
    }

    /// The run in the texts of the sheet, with what came of it so far.
    pub(crate) fn run_so_far(self) -> Option<Arc<RunLog>> {
        let (log, t) = self.shown_so_far()?;
        Some(shown::so_far(&log, t))
    }

    /// Does what hands do in the cell, locked out meanwhile, as one gesture; no run is on show then.
    /// False, and a warning, if it cannot be done.
    pub(crate) fn act_by_hand(self, actions: impl IntoIterator<Item = Action>) -> bool {
        self.playback.set(None);
        self.act_all(self.state_untracked().by_hand(actions))
    }

    /// The runs that may be told: all but one that still plays.
    pub(crate) fn told_runs(self) -> Vec<Arc<RunLog>> {
        let mut runs = self.runs.get();
        if self.plays_still() {
            runs.pop();
        }
        runs
    }

    /// The learner moves the torch: playback stops.
    pub(crate) fn hold_torch(self, at: Point3<f64>) {
        if self.playback.get_untracked().is_some() {
            self.playback.set(None);
        }
        self.hand.set(at);
    }
}

fn floor_of(attempt: Option<&Arc<Lesson>>, session: &Session) -> usize {
    attempt.map_or(0, |lesson| lesson.undo_floor(session))
}

/// The workspace of this page.
pub(crate) fn workspace() -> Workspace {
    expect_context()
}
