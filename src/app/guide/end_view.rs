//! The end of a lesson: how it went, what was mastered, and one thing to do next.

use super::score_view::score_list;
use crate::app::desk::desk;
use crate::app::dom::{View, button, el};
use crate::app::lessons::{Next, course, skill_row, today};
use crate::app::place::Place;
use crate::app::words::{Word, say, tell};
use nudgeproof::coach::Skill;
use nudgeproof::data::sort_short;
use nudgeproof::lesson::{Kind, Lesson, Stage, due};
use std::sync::Arc;

pub(super) fn lesson_end(lesson: &Arc<Lesson>) -> View {
    let (desk, course) = (desk(), course());
    let score = desk.with_session(|s| lesson.score(s));
    let word = |what: &str| {
        say(match what {
            "cause" => Word::ScoreCause,
            "repair" => Word::ScoreRepair,
            "runs" => Word::Runs,
            "questions" => Word::ScoreQuestions,
            _ => Word::ScoreMethod,
        })
    };
    let parts = score.parts.into_iter().map(|(what, part)| (word(what), what, part));
    let parts = score_list(Word::LessonScore, "lesson-score", score.total, parts.collect());
    let about = match lesson.kind {
        Kind::Refresher => None,
        _ => Some(tell(Word::YouCanNow, &[&lesson.about])),
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
        Next::Item(left) => (tell(Word::NextItem, &[&left.to_string()]), None),
        Next::Over => (say(Word::NextOver).into(), Some(say(Word::RefresherOver))),
        Next::Again if lesson.kind == Kind::Drill => (say(Word::NextFault).into(), None),
        Next::Again => (say(Word::NextAgain).into(), Some(say(Word::NextAgainWhy))),
        Next::Lesson(l) => (tell(Word::NextLesson, &[&l.title]), None),
        Next::Refresher => (say(Word::RefresherBegin).into(), Some(say(Word::CourseDone))),
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
        .child(el("h3").text(Word::LessonFinished))
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
                        .text(tell(Word::NextLesson, &[&l.title]))
                }))
                .child(
                    el("a")
                        .class("button")
                        .attr("href", Place::Lessons.hash())
                        .text(Word::PlaceLessons),
                ),
        )
}
