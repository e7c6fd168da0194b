//! What to do next, in one line with one button.

use super::course::course;
use super::days::today;
use crate::app::i18n::{Key, format, text};
use crate::app::place::Place;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::lesson::{
    Lesson, LessonFile, LessonKind, LessonRecord, REFRESHER_MINUTES, TestTime, due, lesson_files,
};
use std::sync::Arc;

/// What comes next for this learner.
#[derive(Debug, Clone, PartialEq, Eq)]
enum NextUp {
    /// An attempt is under way: its title, stages done, stages altogether.
    UnderWay(String, usize, usize),
    /// Tasks of a refresher are left.
    RefresherLeft(usize),
    /// Skills are due.
    RefresherDue,
    /// A lesson of the course, by its number from 0.
    Lesson(usize),
    /// Every lesson is passed, and nothing is due.
    AllPassed,
}

/// Whether skills that were practised are due again today.
pub(super) fn refresher_is_due(records: &[LessonRecord]) -> bool {
    let today = today();
    due(records, today).iter().any(|d| d.last.is_some() && d.due <= today)
}

/// The line and its button.
#[component]
pub(super) fn NextStep() -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let next = Memo::new(move |_| {
        let standing = course.standing.read();
        // A task of a test that was left out is over, though nothing of it is done.
        let left_out = |attempt: &Lesson| {
            let is_it = |r: &LessonRecord| r.lesson == attempt.name && r.seed == attempt.seed;
            attempt.kind == LessonKind::Test && course.records.read().iter().any(is_it)
        };
        let under_way = |attempt: &Arc<Lesson>| (!left_out(attempt)).then(|| attempt.title.clone());
        let title = workspace.attempt.with(|a| a.as_ref().and_then(under_way));
        if let Some(title) = title.filter(|_| !standing.finished()) {
            return NextUp::UnderWay(title, standing.done, standing.stages);
        }
        match course.refresher.read().len() {
            0 => {}
            left => return NextUp::RefresherLeft(left),
        }
        match course.unpassed.get() {
            _ if refresher_is_due(&course.records.read()) => NextUp::RefresherDue,
            Some(number) => NextUp::Lesson(number),
            None => NextUp::AllPassed,
        }
    });
    let button = move || match next.get() {
        NextUp::UnderWay(..) => view! {
            <a class="button run-button" href=Place::Bench.hash() data-testid="begin">
                {text(Key::GoOn)}
            </a>
        }
        .into_any(),
        next => {
            let (name, begins_refresher) = match next {
                NextUp::RefresherLeft(_) => (Key::GoOn, true),
                NextUp::RefresherDue | NextUp::AllPassed => (Key::RefresherBegin, true),
                _ => (Key::Begin, false),
            };
            let begin = move |_| match course.unpassed.get_untracked() {
                _ if begins_refresher && !course.refresher.read_untracked().is_empty() => {
                    course.go_on_with_refresher();
                }
                Some(number) if !begins_refresher => {
                    if let Some(lesson) = lesson_files().nth(number) {
                        course.begin(lesson);
                    }
                }
                _ => course.begin_refresher(),
            };
            view! {
                <button type="button" class="run-button" data-testid="begin" on:click=begin>
                    {text(name)}
                </button>
            }
            .into_any()
        }
    };
    // Of a test the tasks stand in the same row.
    let round = move || {
        let first = course.refresher.with(|all| TestTime::of(&all.first()?.lesson));
        match first {
            Some(TestTime::Before) => Key::TestBefore,
            Some(TestTime::After) => Key::TestAfter,
            None => Key::Refresher,
        }
    };
    let line = move || match next.get() {
        NextUp::UnderWay(title, done, of) => {
            named(&title, &format(Key::ProgressIs, &[&done.to_string(), &of.to_string()]), None)
        }
        NextUp::RefresherLeft(1) => named(text(round()), text(Key::OneTaskLeft), None),
        NextUp::RefresherLeft(left) => {
            named(text(round()), &format(Key::TasksLeft, &[&left.to_string()]), None)
        }
        NextUp::RefresherDue => {
            let minutes = REFRESHER_MINUTES.to_string();
            named(text(Key::Refresher), &format(Key::RefresherMinutes, &[&minutes]), None)
        }
        NextUp::Lesson(number) => {
            lesson_files().nth(number).map_or_else(|| ().into_any(), |l| lesson_line(l, number))
        }
        NextUp::AllPassed => named(text(Key::Refresher), text(Key::CourseDone), None),
    };
    view! {
        <div class="next-step" data-testid="next-step">
            {button}
            <p>{line}</p>
        </div>
    }
}

fn lesson_line(lesson: &LessonFile, number: usize) -> AnyView {
    let (number, minutes) = ((number + 1).to_string(), lesson.minutes.to_string());
    let before = format(Key::LessonNumber, &[&number]);
    named(&lesson.title, &format(Key::AboutMinutes, &[&minutes]), Some(before))
}

/// What it is called, in bold, and more about it.
fn named(title: &str, more: &str, before: Option<String>) -> AnyView {
    view! {
        {before.map(|before| format!("{before}, "))}
        <b>{title.to_owned()}</b>
        {format!(", {more}")}
    }
    .into_any()
}
