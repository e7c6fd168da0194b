use super::course::course;
use super::own;
use crate::app::dom::{View, button, el, note, several, when};
use crate::app::i18n::{Key, format};
use crate::app::place::Place;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::lesson::{Lesson, PASS_SCORE};
use std::sync::Arc;

/// A lesson to begin: what it is about, how long it takes, how it went before.
pub(super) fn lesson_card(lesson: Arc<Lesson>, place: Option<usize>) -> View {
    let (workspace, course) = (workspace(), course());
    let name = lesson.name.clone();
    let total = lesson.stages.len().to_string();
    let (mine, of_mine) = (name.clone(), name.clone());
    // The lesson under way shows how far it is, and can be gone on with.
    let under_way = move || {
        let attempt = workspace.attempt.read();
        let this = (*attempt).as_ref().is_some_and(|a| a.name == mine);
        this.then(|| course.standing.get()).filter(|s| !s.finished())
    };
    let under_way = Memo::new(move |_| under_way());
    let kept = Memo::new(move |_| {
        let records = course.records.read();
        let scores: Vec<u8> =
            records.iter().filter(|r| r.lesson == of_mine).map(|r| r.score).collect();
        scores.iter().max().map(|best| (*best, scores.len()))
    });
    // One of all the buttons stands out: that of the next lesson to take.
    let this = name.clone();
    let next = Memo::new(move |_| {
        under_way.read().is_none()
            && course.unpassed_after("").is_none_or(|l| l.name == this || place.is_none())
    });
    let how = move || {
        kept.get().map(|(best, n)| {
            let word = if best >= PASS_SCORE { Key::LessonPassed } else { Key::LessonTried };
            let text = format(word, &[&best.to_string(), &n.to_string()]);
            el("p").class("kept").class_if("passed", best >= PASS_SCORE).test_id("kept").text(text)
        })
    };
    let gone = name.clone();
    let going = {
        let total = total.clone();
        move || {
            let text = under_way.get().map(|s| s.done.to_string()).unwrap_or_default();
            several().child(note().text(format(Key::ProgressIs, &[&text, &total]))).child(
                el("a")
                    .class("button go-on run-button")
                    .attr("href", Place::Bench.hash())
                    .text(Key::GoOn),
            )
        }
    };
    let title = match place {
        Some(n) => format!("{n} · {}", lesson.title),
        None => lesson.title.clone(),
    };
    let minutes = lesson.minutes.to_string();
    let about = lesson.about.clone();
    el("article")
        .class("card")
        .test_id(format!("card-{name}"))
        .child(el("h3").text(title))
        .child(el("p").text(about))
        .child(note().text(format(Key::LessonTakes, &[&minutes, &total])))
        .child(how)
        .child(when(move || under_way.read().is_some(), going))
        .child(
            el("div")
                .class("row-tools")
                .child(
                    button(format!("start-{name}"))
                        .class_if("run-button", move || next.get())
                        .click(move || course.begin(&lesson))
                        .text(move || match (under_way.read().is_some(), kept.read().is_some()) {
                            (false, false) => Key::Begin,
                            (true, _) => Key::BeginAgain,
                            (false, true) => Key::OnceMore,
                        }),
                )
                .child(place.is_none().then(|| {
                    button(format!("remove-{gone}"))
                        .click(move || own::forget(workspace, &gone))
                        .text(Key::RemoveLesson)
                })),
        )
}
