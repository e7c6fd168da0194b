//! The course as one learner takes it: the attempt under way, what is kept of others, the refresher.

use super::days::{fresh_seed, today};
use crate::app::i18n::{Key, format, text};
use crate::app::place::Place;
use crate::app::screen;
use crate::app::storage;
use crate::app::workspace::Workspace;
use leptos::prelude::*;
use nudgeproof::data::sort_short;
use nudgeproof::lesson::{
    GivenAnswer, Lesson, LessonKind, LessonRecord, PASS_SCORE, ProgressTracker, attempt, lessons,
    merge, records_from_json, records_to_json, refresher,
};
use nudgeproof::session::Session;
use std::sync::{Arc, Mutex, PoisonError};

const RECORDS: &str = "records";
const ROUND: &str = "refresher";

/// How the attempt under way stands.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Standing {
    /// Stages done: the number of the one under way, from 0.
    pub(crate) done: usize,
    /// Stages altogether; none outside a lesson.
    pub(crate) of: usize,
    pub(crate) answers: Vec<GivenAnswer>,
    /// A prediction is to be made before the next run.
    pub(crate) asks: bool,
}

impl Standing {
    pub(crate) fn finished(&self) -> bool {
        self.of > 0 && self.done == self.of
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
    Lesson(&'static Lesson),
    /// Every lesson is passed.
    Refresher,
}

/// Shared by the whole page.
#[derive(Clone, Copy)]
pub(crate) struct Course {
    workspace: Workspace,
    pub(crate) standing: Memo<Standing>,
    pub(crate) records: RwSignal<Vec<LessonRecord>>,
    /// Why the records in this browser cannot be read, if they cannot.
    pub(crate) unreadable: RwSignal<Option<String>>,
    /// What is left of the refresher, the item under way first: names and seeds.
    pub(crate) round: RwSignal<Vec<(String, u64)>>,
    /// A number for the next attempt, the same for a whole class.
    pub(crate) number: RwSignal<Option<u64>>,
}

/// The course of this page.
pub(crate) fn course() -> Course {
    expect_context()
}

impl Course {
    pub(crate) fn new(workspace: Workspace) -> Self {
        let watched = Mutex::new(None::<ProgressTracker>);
        let standing = Memo::new(move |_| {
            workspace.track_session();
            let Some(lesson) = workspace.attempt.get() else { return Standing::default() };
            let mut watched = watched.lock().unwrap_or_else(PoisonError::into_inner);
            let before = watched.take().filter(|w| Arc::ptr_eq(w.lesson(), &lesson));
            let watched =
                watched.insert(before.unwrap_or_else(|| ProgressTracker::new(lesson.clone())));
            let (progress, answers) = workspace.with_session(|s| watched.standing(s));
            let asks = lesson.question_of(progress.done, &answers).is_some();
            Standing { done: progress.done, of: progress.stages, answers, asks }
        });
        let (records, why) = stored();
        let course = Self {
            workspace,
            standing,
            records: RwSignal::new(records),
            unreadable: RwSignal::new(why),
            round: RwSignal::new(stored_round()),
            number: RwSignal::new(None),
        };
        let mut before = None;
        Effect::new(move || {
            let finished = standing.read().finished();
            let lesson = workspace.attempt.get();
            let which = lesson.as_ref().map_or(0, |l| Arc::as_ptr(l) as usize);
            // What was opened finished from a file is somebody else's.
            if let Some(lesson) = lesson.filter(|_| finished && before == Some((which, false))) {
                course.keep([workspace.with_session(|s| LessonRecord::of(&lesson, s, today()))]);
            }
            before = Some((which, finished));
        });
        course
    }

    /// Keeps records in this browser, beside those that are there.
    pub(crate) fn keep(self, more: impl IntoIterator<Item = LessonRecord>) {
        // Another window may have kept some since.
        let (mut all, why) = stored();
        if why.is_some() {
            self.unreadable.set(why);
        }
        merge(&mut all, self.records.get_untracked());
        merge(&mut all, more);
        sort_short(&mut all, |a, b| a.day < b.day);
        let file = records_to_json(&all);
        storage::set_setting(RECORDS, &file);
        if storage::setting(RECORDS).as_deref() != Some(&*file) {
            self.workspace.warn(text(Key::RecordsNotKept).into());
        }
        self.records.set(all);
    }

    /// Forgets every record.
    pub(crate) fn forget(self) {
        self.records.set(Vec::new());
        storage::set_setting(RECORDS, &records_to_json(&[]));
    }

    /// Whether a lesson has been passed once.
    pub(crate) fn passed(self, name: &str) -> bool {
        self.records.read().iter().any(|r| r.lesson == name && r.score >= PASS_SCORE)
    }

    /// Begins a lesson with a fresh seed, or with the number of the class.
    pub(crate) fn begin(self, lesson: &Lesson) {
        let seed = self.number.get_untracked().unwrap_or_else(fresh_seed);
        match lesson.variant(seed).and_then(|l| l.start()) {
            Ok(session) => self.go_to_bench(session),
            Err(why) => self.workspace.warn(why.to_string()),
        }
    }

    /// Another attempt at the lesson under way; undo brings this one back.
    pub(crate) fn again(self, lesson: &Lesson) {
        // In a drill another fault than this one.
        let seeds = std::iter::repeat_with(fresh_seed).take(4);
        let other = seeds.filter_map(|seed| lesson.variant(seed).ok());
        let mut last = None;
        for found in other {
            let same = found.cause().is_some() && found.cause() == lesson.cause();
            last = Some(found);
            if !same {
                break;
            }
        }
        if let Some(Ok(session)) = last.map(|l| l.start()) {
            self.workspace.replace(session);
            self.workspace.notify(text(Key::StartedOver).into());
        }
    }

    pub(crate) fn go_to_bench(self, session: Session) {
        self.workspace.replace(session);
        screen::go(Place::Bench.hash());
    }

    /// Draws a refresher from the records, and begins it.
    pub(crate) fn begin_refresher(self) {
        let items = refresher(&self.records.read_untracked(), today(), fresh_seed());
        self.set_round(items.iter().map(|l| (l.name.clone(), l.seed)).collect());
        self.go_on();
    }

    /// Begins the first item that is left of the refresher.
    pub(crate) fn go_on(self) {
        let first = self.round.read_untracked().first().cloned();
        let item = first.and_then(|(name, seed)| attempt(&name, seed, &[]));
        match item.map(|l| l.start()) {
            Some(Ok(session)) => self.go_to_bench(session),
            _ => self.set_round(Vec::new()),
        }
    }

    /// The item under way is done: the next one, or the end of the refresher.
    pub(crate) fn next_item(self) {
        let mut left = self.round.get_untracked();
        left.drain(..left.len().min(1));
        let more = !left.is_empty();
        self.set_round(left);
        if more {
            self.go_on();
        }
    }

    fn set_round(self, round: Vec<(String, u64)>) {
        let lines: Vec<String> = round.iter().map(|(n, s)| format!("{n} {s}")).collect();
        storage::set_setting(ROUND, &lines.join("\n"));
        self.round.set(round);
    }

    /// What comes after this lesson, with this score.
    pub(crate) fn next(self, lesson: &Lesson, score: u8) -> Next {
        if lesson.kind == LessonKind::Refresher {
            let left = self.round.read_untracked().len();
            return if left > 1 { Next::Item(left - 1) } else { Next::Over };
        }
        if score < PASS_SCORE || lesson.kind == LessonKind::Drill {
            return Next::Again;
        }
        self.unpassed_after(&lesson.name).map_or(Next::Refresher, Next::Lesson)
    }

    /// The first lesson after this one, in the order of the course, that has not been passed.
    pub(crate) fn unpassed_after(self, name: &str) -> Option<&'static Lesson> {
        let all = lessons();
        let at = all.iter().position(|l| l.name == name).map_or(0, |i| i + 1);
        all.iter()
            .cycle()
            .skip(at)
            .take(all.len())
            .find(|l| !self.passed(&l.name) && l.name != name)
    }
}

/// The records in this browser. What cannot be read is put aside under a name of its own, and why is
/// said.
fn stored() -> (Vec<LessonRecord>, Option<String>) {
    let Some(text) = storage::setting(RECORDS) else { return (Vec::new(), None) };
    match records_from_json(&text) {
        Ok(records) => (records, None),
        Err(why) => {
            let mut names = (1..100).map(|n| format!("{RECORDS}.aside.{n}"));
            let free = names.find(|n| storage::setting(n).is_none_or(|t| t == text));
            if let Some(name) = free {
                storage::set_setting(&name, &text);
            }
            (Vec::new(), Some(format(Key::RecordsUnreadable, &[&why.to_string()])))
        }
    }
}

/// The texts of records that could not be read.
pub(crate) fn put_aside() -> Vec<String> {
    (1..100).map_while(|n| storage::setting(&format!("{RECORDS}.aside.{n}"))).collect()
}

fn stored_round() -> Vec<(String, u64)> {
    let text = storage::setting(ROUND).unwrap_or_default();
    let line = |l: &str| {
        let (name, seed) = l.split_once(' ')?;
        Some((name.to_owned(), seed.parse().ok()?))
    };
    text.lines().filter_map(line).collect()
}
