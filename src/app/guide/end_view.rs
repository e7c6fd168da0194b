//! The end of a lesson: how it went, what was mastered, and one thing to do next.

use super::score_view::score_list;
use crate::app::dom::{View, button, el};
use crate::app::i18n::{Key, format, text};
use crate::app::lessons::{Next, course, skill_row, today};
use crate::app::place::Place;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::coach::Skill;
use nudgeproof::data::sort_short;
use nudgeproof::lesson::{Lesson, LessonKind, Stage, due};
use std::sync::Arc;

pub(super) fn lesson_end(lesson: &Arc<Lesson>) -> View {
    let (workspace, course) = (workspace(), course());
    let score = workspace.with_session(|s| lesson.score(s));
    let word = |what: &str| {
        text(match what {
            "cause" => Key::ScoreCause,
            "repair" => Key::ScoreRepair,
            "runs" => Key::Runs,
            "questions" => Key::ScoreQuestions,
            _ => Key::ScoreMethod,
        })
    };
    let parts = score.parts.into_iter().map(|(what, part)| (word(what), what, part));
    let parts = score_list(Key::LessonScore, "lesson-score", score.total, parts.collect());
    let about = match lesson.kind {
        LessonKind::Refresher => None,
        _ => Some(format(Key::YouCanNow, &[&lesson.about])),
    };
    let mut skills: Vec<Skill> = lesson.stages.iter().filter_map(Stage::skill).collect();
    sort_short(&mut skills, |a, b| a < b);
    skills.dedup();
    // The record of this attempt is kept a moment after the last stage is done.
    let rows = move || {
        let all = due(&course.records.read(), today());
        all.into_iter()
            .filter(|d| skills.contains(&d.skill))
            .map(|d| skill_row(&d))
            .collect::<Vec<_>>()
    };
    let whole = lesson.clone();
    let next = course.next(lesson, score.total);
    let (text, why) = match &next {
        Next::Item(left) => (format(Key::NextItem, &[&left.to_string()]), None),
        Next::Over => (text(Key::NextOver).into(), Some(text(Key::RefresherOver))),
        Next::Again if lesson.kind == LessonKind::Drill => (text(Key::NextFault).into(), None),
        Next::Again => (text(Key::NextAgain).into(), Some(text(Key::NextAgainWhy))),
        Next::Lesson(l) => (format(Key::NextLesson, &[&l.title]), None),
        Next::Refresher => (text(Key::RefresherBegin).into(), Some(text(Key::CourseDone))),
    };
    let other = match &next {
        Next::Again => course.unpassed_after(&lesson.name),
        _ => None,
    };
    let go = move || match &next {
        Next::Item(_) => course.next_item(),
        Next::Over => {
            course.next_item();
            crate::app::screen::go(Place::Record.hash());
        }
        Next::Again => course.again(&whole),
        Next::Lesson(l) => course.begin(l),
        Next::Refresher => course.begin_refresher(),
    };
    el("div")
        .class("stage finished")
        .test_id("lesson-finished")
        .child(el("h3").text(Key::LessonFinished))
        .child(about.map(|a| el("p").text(a)))
        .child(parts)
        .child(el("ul").class("skills").child(rows))
        .child(why.map(|w| el("p").text(w)))
        .child(
            el("div")
                .class("row-tools")
                .child(button("lesson-next").class("run-button").click(go).text(text))
                .child(other.map(|l| {
                    button("lesson-other")
                        .click(move || course.begin(l))
                        .text(format(Key::NextLesson, &[&l.title]))
                }))
                .child(
                    el("a")
                        .class("button")
                        .attr("href", Place::Lessons.hash())
                        .text(Key::PlaceLessons),
                ),
        )
}
