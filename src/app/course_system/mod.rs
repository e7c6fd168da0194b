//! A page within a course system. The packages for one carry a script that speaks to it by its standard
//! (`shared.js` says how, beside this file); on every other page there is none, and nothing here does anything.

mod script;

pub(crate) use script::is_here;

use super::i18n::{Key, format};
use super::lessons::{Course, today};
use super::logic::class_setup::{ClassSetup, ClassStart};
use super::presenter::ClassRules;
use super::share::LinkOpener;
use super::workspace::Workspace;
use gloo::timers::callback::Timeout;
use leptos::prelude::*;
use nudgeproof::lesson::{
    CourseReport, LessonRecord, PASS_SCORE, RecordBook, SkillReport, StageReport,
};
use nudgeproof::session::Session;
use script::CourseSystem;
use serde::Serialize;

/// How long the learner has to pause until the course system is told, ms.
const PAUSE: u32 = 300;

/// What the course system is told.
#[derive(Serialize)]
struct Told {
    passed: bool,
    score: Option<u8>,
    skills: Vec<SkillReport>,
    /// The attempt under way, with its stages that are done. The number as a text: it may be longer than
    /// what a script takes for a whole number.
    lesson: String,
    seed: String,
    stages: Vec<StageReport>,
    /// How many runs there are: after each it is stored.
    runs: usize,
    /// The records of attempts that were done in this visit.
    done: Vec<LessonRecord>,
    /// Files to go on with at the next visit.
    session: String,
    records: String,
}

/// What counts for the course system.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Scope {
    Course,
    Lesson(String),
    /// Free work on a part: the coach's score.
    Part,
}

impl From<&ClassStart> for Scope {
    fn from(start: &ClassStart) -> Self {
        match start {
            ClassStart::Lesson(name) => Self::Lesson(name.clone()),
            ClassStart::Part(_) => Self::Part,
        }
    }
}

/// Goes on where the learner left, puts the page as their teacher has set it up, and tells the course system
/// from then on what is learned. Without a course system nothing happens.
pub(crate) fn join(workspace: Workspace, course: Course, links: LinkOpener, rules: ClassRules) {
    let Some(system) = CourseSystem::find() else { return };
    let book = system.text("records").and_then(|text| RecordBook::from_json(&text).ok());
    if let Some(RecordBook { records, .. }) = book {
        course.keep(records);
    }
    if let Some(session) = system.text("session").and_then(|text| Session::from_json(&text).ok()) {
        workspace.replace(session);
    }
    let mut scope = Scope::Course;
    match system.text("launch").map(|text| read_setup(&text)) {
        Some(Ok(setup)) => {
            scope = Scope::from(&setup.start);
            if system.text("returning").is_some() {
                rules.apply(&setup);
            } else if let Err(why) = links.open_setup(setup) {
                workspace.warn(format(Key::LaunchBadSetup, &[&why]));
            }
        }
        Some(Err(why)) => workspace.warn(format(Key::LaunchBadSetup, &[&why])),
        None => {}
    }
    tell_from_now_on(system, workspace, course, scope);
}

/// The set-up that a teacher gave: JSON, or else TOML.
fn read_setup(text: &str) -> Result<ClassSetup, String> {
    let name = if text.trim_start().starts_with('{') { "set-up.json" } else { "set-up.toml" };
    ClassSetup::read(name, text)
}

fn tell_from_now_on(system: CourseSystem, workspace: Workspace, course: Course, scope: Scope) {
    let system = StoredValue::new_local(system);
    let due = StoredValue::new_local(None::<Timeout>);
    let scope = StoredValue::new(scope);
    let before = StoredValue::new(course.records.get_untracked());
    let tell = move || {
        let mut told = scope.with_value(|scope| told(workspace, course, scope));
        let is_new = |record: &LessonRecord| {
            before.with_value(|before| !before.iter().any(|known| known.same_attempt(record)))
        };
        told.done.retain(is_new);
        let text = serde_json::to_string(&told).expect("a report can be written");
        system.with_value(|system| system.tell(&text));
    };
    // What is done already was told at the last visit: it has to be known before the learner does more.
    untrack(tell);
    Effect::new(move || {
        workspace.track_session();
        course.standing.track();
        course.records.track();
        workspace.review.last();
        due.set_value(Some(Timeout::new(PAUSE, tell)));
    });
}

fn told(workspace: Workspace, course: Course, scope: &Scope) -> Told {
    let records = course.records.get_untracked();
    let only = if let Scope::Lesson(name) = scope { Some(name.as_str()) } else { None };
    let mut report = CourseReport::of(&records, only, today());
    if *scope == Scope::Part {
        report.score = untrack(|| workspace.review.last()).map(|review| review.score.total);
        report.passed = report.score.is_some_and(|score| score >= PASS_SCORE);
    }
    let standing = course.standing.get_untracked();
    let attempt = workspace.attempt.get_untracked();
    Told {
        passed: report.passed,
        score: report.score,
        skills: report.skills,
        lesson: attempt.as_ref().map(|lesson| lesson.name.clone()).unwrap_or_default(),
        seed: attempt.as_ref().map(|lesson| lesson.seed.to_string()).unwrap_or_default(),
        stages: attempt
            .map(|lesson| lesson.stage_reports(standing.done, &standing.answers))
            .unwrap_or_default(),
        runs: workspace.runs.with_untracked(Vec::len),
        done: records.clone(),
        session: workspace.with_truth(Session::to_json),
        records: RecordBook::of(&records).to_json(),
    }
}
