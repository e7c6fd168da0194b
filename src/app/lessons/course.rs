//! The course as one learner takes it: the attempt under way, the records of others, the refresher.

use super::days::{fresh_seed, today};
use super::stored::{self, RefresherItem, StoredRecords};
use crate::app::i18n::{Key, text};
use crate::app::place::Place;
use crate::app::screen;
use crate::app::workspace::Workspace;
use gloo::timers::callback::Timeout;
use leptos::prelude::*;
use nudgeproof::lesson::{
    GivenAnswer, Lesson, LessonFile, LessonKind, LessonRecord, LookAt, PASS_SCORE, Progress,
    ProgressTracker, TestTime, attempt, course_test, lesson_files, merge, refresher,
};
use nudgeproof::session::{Action, Session};
use std::sync::Arc;

/// From the drawing of one task of a test to that of the next, ms.
const BETWEEN_TASKS: u32 = 100;

/// How the attempt under way stands.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Standing {
    /// Stages done: the number of the one under way, from 0.
    pub(crate) done: usize,
    /// Stages altogether; none outside a lesson.
    pub(crate) stages: usize,
    pub(crate) answers: Vec<GivenAnswer>,
    /// A prediction is to be made before the next run.
    pub(crate) asks: bool,
    /// A reading is asked for that cannot be made yet.
    pub(crate) reads_later: bool,
    /// Until its run has been shown nothing on the page may tell how a prediction will come out.
    pub(crate) quiet: bool,
}

impl Standing {
    pub(crate) fn finished(&self) -> bool {
        self.stages > 0 && self.done == self.stages
    }
}

/// What comes after a lesson.
#[derive(Debug, Clone)]
pub(crate) enum Next {
    /// The next item of the refresher; so many are left.
    Item(usize),
    /// The refresher is over.
    Over,
    /// The same lesson, with another part and place.
    Again,
    /// Another lesson.
    Lesson(&'static Arc<LessonFile>),
    /// Every lesson is passed.
    Refresher,
}

/// The course, shared by the whole page.
#[derive(Clone, Copy)]
pub(crate) struct Course {
    workspace: Workspace,
    pub(crate) standing: Memo<Standing>,
    pub(crate) records: RwSignal<Vec<LessonRecord>>,
    /// Why the records in this browser cannot be read, if they cannot.
    pub(crate) unreadable: RwSignal<Option<String>>,
    /// What is left of the refresher, or of a test, the item under way first.
    pub(crate) refresher: RwSignal<Vec<RefresherItem>>,
    /// The number that a class gives to its next attempts, so that all have the same task.
    pub(crate) class_number: RwSignal<Option<u64>>,
    /// The first lesson that has not been passed; `None` if all are.
    pub(crate) unpassed: Memo<Option<usize>>,
}

/// The course of this page.
pub(crate) fn course() -> Course {
    expect_context()
}

/// Progress of the current attempt, derived from the session as far as it has been shown: while a run
/// plays it stays as it was. Each update works through the new actions only.
fn standing(workspace: Workspace) -> Memo<Standing> {
    let watched = StoredValue::new(None::<ProgressTracker>);
    Memo::new(move |before: Option<&Standing>| {
        workspace.track_session();
        let Some(lesson) = workspace.attempt.get() else { return Standing::default() };
        if workspace.plays_still()
            && let Some(before) = before
        {
            return before.clone();
        }
        let standing = watched.try_update_value(|watched| {
            let same = watched.take().filter(|w| Arc::ptr_eq(w.lesson(), &lesson));
            let watched =
                watched.insert(same.unwrap_or_else(|| ProgressTracker::new(lesson.clone())));
            workspace.with_session(|session| watched.standing(session))
        });
        let Some((progress, answers)) = standing else { return Standing::default() };
        let asks = lesson.question_of(progress.done, &answers).is_some();
        let quiet = lesson.kind == LessonKind::Test || lesson.keeps_quiet(progress.done, &answers);
        let Progress { done, stages } = progress;
        let reads_later = workspace.with_session(|session| lesson.reads_later(done, session));
        Standing { done, stages, answers, asks, reads_later, quiet }
    })
}

fn is_passed(records: &[LessonRecord], lesson: &str) -> bool {
    records.iter().any(|r| r.lesson == lesson && r.score >= PASS_SCORE)
}

impl Course {
    pub(crate) fn new(workspace: Workspace) -> Self {
        let StoredRecords { records, unreadable, .. } = stored::records();
        let records = RwSignal::new(records);
        let unpassed = move |_: Option<&_>| {
            let records = records.read();
            lesson_files().position(|lesson| !is_passed(&records, &lesson.name))
        };
        let course = Self {
            workspace,
            standing: standing(workspace),
            records,
            unreadable: RwSignal::new(unreadable),
            refresher: RwSignal::new(stored::refresher()),
            class_number: RwSignal::new(None),
            unpassed: Memo::new(unpassed),
        };
        course.keep_finished_attempts();
        course
    }

    /// Whether the attempt under way is a task of a test. Tracked.
    pub(crate) fn is_test(self) -> bool {
        self.workspace.attempt.with(|l| l.as_ref().is_some_and(|l| l.kind == LessonKind::Test))
    }

    /// Answers the question of the stage under way, from 0; nothing where it has none, or its answer stands. How
    /// sure the learner was before stays.
    pub(crate) fn answer(self, answer: usize) {
        let Standing { done: stage, answers, reads_later, .. } = self.standing.get_untracked();
        let given = answers.iter().rfind(|given| given.stage == stage);
        let choices = self.workspace.attempt.with_untracked(|lesson| {
            let ask = lesson.as_ref()?.stages.get(stage)?.ask.as_ref()?;
            Some(ask.choices().len())
        });
        let is_open = !reads_later && given.is_none_or(|given| !given.is_closed());
        if is_open && choices.is_some_and(|choices| answer < choices) {
            let certainty = given.and_then(|given| given.certainty);
            let (stage, answer) = (stage + 1, answer + 1);
            self.workspace.act(Action::Predict { stage, answer, certainty });
        }
    }

    /// Whether what is wrong with the cell is still to be named: until then the coach says nothing. Tracked.
    pub(crate) fn names_causes_later(self) -> bool {
        let done = self.standing.read().done;
        self.workspace.attempt.with(|l| l.as_ref().is_some_and(|l| l.names_causes_later(done)))
    }

    /// The stage under way, by its number from 0, and the place that it is about. Tracked.
    pub(crate) fn looks_at(self) -> Option<(usize, LookAt)> {
        let done = self.standing.read().done;
        self.workspace.attempt.with(|l| l.as_ref()?.stages.get(done).map(|s| (done, s.look_at)))
    }

    /// Keeps a record of each attempt that is finished on this page. An attempt that was finished
    /// when it was opened is left out: it may be another learner's.
    fn keep_finished_attempts(self) {
        let is_same = |a: &Option<Arc<Lesson>>, b: &Option<Arc<Lesson>>| match (a, b) {
            (Some(a), Some(b)) => Arc::ptr_eq(a, b),
            _ => false,
        };
        Effect::new(move |before: Option<(Option<Arc<Lesson>>, bool)>| {
            let finished = self.standing.read().finished();
            let attempt = self.workspace.attempt.get();
            if finished
                && let Some((before, false)) = &before
                && is_same(before, &attempt)
                && let Some(lesson) = &attempt
            {
                let record = |s: &Session| LessonRecord::of(lesson, s, today());
                self.keep([self.workspace.with_session(record)]);
            }
            (attempt, finished)
        });
    }

    /// Stores records in this browser, beside those that are there; false, and a message, if the
    /// browser does not.
    pub(crate) fn keep(self, more: impl IntoIterator<Item = LessonRecord>) -> bool {
        self.keep_instead(more, &[])
    }

    /// The same, in place of those that are put aside under these names.
    fn keep_instead(self, more: impl IntoIterator<Item = LessonRecord>, aside: &[String]) -> bool {
        // Another window may have kept some since.
        let StoredRecords { records: mut all, unreadable, replaceable } = stored::records();
        if unreadable.is_some() {
            self.unreadable.set(unreadable);
        }
        merge(&mut all, self.records.get_untracked());
        merge(&mut all, more);
        all.sort_by_key(|record| record.day);
        let kept = replaceable && stored::set_records(&all, aside);
        if !kept {
            self.workspace.warn(text(Key::RecordsNotKept).into());
        }
        self.records.set(all);
        kept
    }

    /// Whether there are records that were put aside so that the page could start.
    pub(crate) fn any_aside() -> bool {
        !stored::records_aside().is_empty()
    }

    /// Takes in the records that were put aside. They stay aside, and a message says so, if the browser
    /// does not store them.
    pub(crate) fn bring_back(self) {
        let (names, records): (Vec<_>, Vec<_>) = stored::records_aside().into_iter().unzip();
        if self.keep_instead(records.into_iter().flatten(), &names) {
            self.workspace.notify(text(Key::BroughtBack).into());
        }
    }

    /// Forgets every record.
    pub(crate) fn forget(self) {
        if !stored::set_records(&[], &[]) {
            return self.workspace.warn(text(Key::RecordsNotForgotten).into());
        }
        self.records.set(Vec::new());
    }

    /// Begins a lesson with a fresh seed, or with the number of the class.
    pub(crate) fn begin(self, lesson: &Arc<LessonFile>) {
        let seed = self.class_number.get_untracked().unwrap_or_else(fresh_seed);
        match Lesson::of_file(lesson, seed).map(|l| l.start()) {
            Ok(session) => self.open(session),
            Err(why) => self.workspace.warn(why.to_string()),
        }
    }

    /// Another attempt at the lesson under way; undo brings this one back.
    pub(crate) fn begin_again(self, lesson: &Lesson) {
        // In a drill another fault than this one.
        let mut last = None;
        for seed in std::iter::repeat_with(fresh_seed).take(4) {
            let Ok(variant) = lesson.variant(seed) else { continue };
            let same = lesson.kind == LessonKind::Drill && variant.planted() == lesson.planted();
            last = Some(variant);
            if !same {
                break;
            }
        }
        if let Some(session) = last.map(|l| l.start()) {
            self.workspace.begin(session);
            self.workspace.notify(text(Key::StartedOver).into());
        }
    }

    /// Opens a session at the bench.
    pub(crate) fn open(self, session: Session) {
        self.workspace.begin(session);
        screen::go(Place::Bench.hash());
    }

    /// Draws a refresher from the records, and begins it.
    pub(crate) fn begin_refresher(self) {
        let items = refresher(&self.records.read_untracked(), today(), fresh_seed());
        self.set_refresher(items.iter().map(RefresherItem::of).collect());
        self.go_on_with_refresher();
    }

    /// Begins a test of the course with its first task; the others are drawn while that is being read.
    pub(crate) fn begin_test(self, time: TestTime) {
        let mut tasks = course_test(time, fresh_seed());
        if let Some(first) = tasks.next() {
            self.set_refresher(vec![RefresherItem::of(&first)]);
            self.open(first.start());
            self.draw_next(tasks);
        }
    }

    /// Draws the tasks of a test, a press between two of them.
    fn draw_next(self, mut tasks: impl Iterator<Item = Lesson> + 'static) {
        let so_far = self.refresher.get_untracked();
        Timeout::new(BETWEEN_TASKS, move || {
            // Something else may have been begun.
            if self.refresher.with_untracked(|now| *now == so_far)
                && let Some(task) = tasks.next()
            {
                self.set_refresher([so_far, vec![RefresherItem::of(&task)]].concat());
                self.draw_next(tasks);
            }
        })
        .forget();
    }

    /// Leaves out the task of a test that is under way: it counts as not done.
    pub(crate) fn leave_out(self, lesson: &Lesson) {
        let record = |s: &Session| LessonRecord::of(lesson, s, today());
        self.keep([self.workspace.with_session(record)]);
        let was_last = self.refresher.read_untracked().len() <= 1;
        self.next_refresher_item();
        if was_last {
            screen::go(Place::Record.hash());
        }
    }

    /// Begins the first item that is left of the refresher.
    pub(crate) fn go_on_with_refresher(self) {
        let first = self.refresher.read_untracked().first().cloned();
        let item = first.and_then(|item| attempt(&item.lesson, item.seed, &[]));
        match item.map(|l| l.start()) {
            Some(session) => self.open(session),
            None => self.set_refresher(Vec::new()),
        }
    }

    /// The item under way is done: the next one, or the end of the refresher.
    pub(crate) fn next_refresher_item(self) {
        let left = self.refresher.with_untracked(|all| all.get(1..).unwrap_or_default().to_vec());
        let over = left.is_empty();
        self.set_refresher(left);
        if !over {
            self.go_on_with_refresher();
        }
    }

    fn set_refresher(self, items: Vec<RefresherItem>) {
        if !stored::set_refresher(&items) {
            self.workspace.warn(text(Key::NotStored).into());
        }
        self.refresher.set(items);
    }

    /// What comes after this lesson, with this score.
    pub(crate) fn next(self, lesson: &Lesson, score: u8) -> Next {
        if [LessonKind::Refresher, LessonKind::Test].contains(&lesson.kind) {
            let left = self.refresher.read_untracked().len();
            return if left > 1 { Next::Item(left - 1) } else { Next::Over };
        }
        if score < PASS_SCORE || lesson.kind == LessonKind::Drill {
            return Next::Again;
        }
        self.unpassed_after(lesson).map_or(Next::Refresher, Next::Lesson)
    }

    /// The first lesson after this one, in the order of the course and from its end on to its start,
    /// that has not been passed.
    pub(crate) fn unpassed_after(self, lesson: &Lesson) -> Option<&'static Arc<LessonFile>> {
        let records = self.records.read_untracked();
        let count = lesson_files().len();
        let after = lesson_files().position(|l| l.name == lesson.name).map_or(0, |i| i + 1);
        let open = |l: &&Arc<LessonFile>| l.name != lesson.name && !is_passed(&records, &l.name);
        lesson_files().cycle().skip(after).take(count).find(open)
    }
}
