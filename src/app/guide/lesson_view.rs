use super::ask_view::{ask_outcome, ask_view};
use super::drill_view::{causes_view, mends_view};
use super::end_view::lesson_end;
use super::hints::{hint_button, open_hints};
use super::markdown::prose;
use crate::app::dom::{Part, View, button, el, note, several};
use crate::app::i18n::{Key, format};
use crate::app::lessons::course;
use crate::app::panels::{Panel, panels};
use crate::app::screen;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::lesson::{Goal, Lesson, LookAt};
use std::sync::Arc;

/// The lesson under way, if the session belongs to one: what to do now, how far, hints by rungs.
pub(super) fn lesson_panel() -> impl Part {
    let workspace = workspace();
    move || {
        if let Some(lesson) = workspace.attempt.get() {
            return Some(lesson_card(&lesson));
        }
        let name = workspace.with_session(|s| s.header().lesson.clone());
        let lost = |n: String| note().test_id("lesson-lost").text(format(Key::LessonLost, &[&n]));
        name.map(lost)
    }
}

/// The panel where a stage is done.
fn panel_of(place: LookAt) -> Panel {
    match place {
        LookAt::Sheet => Panel::Sheet,
        LookAt::Routine | LookAt::Plan => Panel::Routine,
        LookAt::Run => Panel::RunControls,
        LookAt::Nudge => Panel::Nudge,
        LookAt::Readings | LookAt::Coach => Panel::GuideTabs,
    }
}

/// The class that points at a place of the page while a stage is about it.
fn place_name(place: LookAt) -> &'static str {
    match place {
        LookAt::Sheet => "sheet",
        LookAt::Routine => "routine",
        LookAt::Plan => "plan",
        LookAt::Run => "run",
        LookAt::Nudge => "nudge",
        LookAt::Readings => "readings",
        LookAt::Coach => "coach",
    }
}

fn lesson_card(lesson: &Arc<Lesson>) -> View {
    let (workspace, course) = (workspace(), course());
    let done = Memo::new(move |_| course.standing.read().done);
    let total = lesson.stages.len();
    let whole = Signal::stored(lesson.clone());
    let mut before = None;
    Effect::new(move || {
        let now = done.get();
        if let Some(before) = before.replace(now).filter(|b| *b < now) {
            whole.with(|l| {
                workspace.notify(format(Key::StageDone, &[&l.stages[before].well_done]));
            });
        }
    });
    Effect::new(move || {
        let at = done.get();
        let place = whole.with(|l| l.stages.get(at).map_or("", |s| place_name(s.look_at)));
        screen::set_root("data-look-at", place);
    });
    on_cleanup(|| screen::set_root("data-look-at", ""));
    let now = move || {
        let at = done.get();
        let lesson = whole.get();
        let answers = course.standing.read_untracked().answers.clone();
        let before = at.checked_sub(1);
        let outcome = before.and_then(|b| ask_outcome(&lesson, &answers, b));
        let praise = before.map(|b| {
            el("p").class("well-done").test_id("well-done").text(lesson.stages[b].well_done.clone())
        });
        let body = match lesson.stages.get(at) {
            None => lesson_end(&lesson),
            Some(_) => stage_view(&lesson, at),
        };
        several().child(outcome).child(praise).child(body)
    };
    let titles: Vec<_> = lesson.stages.iter().map(|s| s.title.clone()).collect();
    el("section")
        .class("lesson")
        .test_id(format!("lesson-{}", lesson.name))
        .attr("data-seed", lesson.seed.to_string())
        .attr("aria-labelledby", "lesson-title")
        .child(el("h2").attr("id", "lesson-title").text(lesson.title.clone()))
        .child(
            el("div")
                .class("progress")
                .attr("role", "progressbar")
                .attr("aria-label", Key::LessonProgress)
                .attr("aria-valuemin", "0")
                .attr("aria-valuemax", total)
                .attr("aria-valuenow", move || done.get())
                .children(titles.into_iter().enumerate().map(|(i, title)| {
                    el("span")
                        .class("task")
                        .class_if("done", move || i < done.get())
                        .class_if("now", move || i == done.get())
                        .test_id(format!("task-{}", i + 1))
                        .attr("data-done", move || (i < done.get()).to_string())
                        .attr("title", title)
                }))
                .child(el("span").class("progress-text").text(move || {
                    format(Key::ProgressIs, &[&done.get().to_string(), &total.to_string()])
                })),
        )
        .child(now)
}

/// What is to be done now.
fn stage_view(lesson: &Arc<Lesson>, at: usize) -> View {
    let (workspace, course, panels) = (workspace(), course(), panels());
    let stage = lesson.stages[at].clone();
    let whole = Signal::stored(lesson.clone());
    // How many rungs of hints are open: kept in the session, so that a reload shows them again.
    let rungs = Memo::new(move |_| {
        workspace.track_session();
        whole.with(|l| workspace.with_session(|s| l.hints_shown(s, at)))
    });
    let ask = stage.ask.as_ref().map(|ask| ask_view(at, ask));
    let drill = match stage.goal {
        Goal::CauseNamed => Some(causes_view(lesson)),
        Goal::Mended => Some(mends_view(lesson)),
        _ => None,
    };
    let look_at = stage.look_at;
    let hints = stage.hints.clone();
    let number = format(Key::AttemptNumber, &[&lesson.seed.to_string()]);
    el("div")
        .class("stage")
        .test_id("stage")
        .attr("data-stage", at + 1)
        .child(el("h3").text(stage.title.clone()))
        .child(prose(&stage.say))
        .child(ask)
        .child(drill)
        .child(open_hints(hints, rungs))
        .child(
            el("div")
                .class("row-tools")
                .child(hint_button("hint", rungs, move || {
                    let next = whole.with(|l| workspace.with_session(|s| l.next_hint(s, at)));
                    if let Some(action) = next {
                        workspace.act(action);
                    }
                }))
                .child(
                    button("go-there")
                        .class("go-there")
                        .click(move || panels.show(panel_of(look_at)))
                        .text(Key::GoThere),
                )
                .child(
                    button("start-over")
                        .click(move || course.again(&whole.get()))
                        .text(Key::StartOver),
                )
                .child(el("span").class("fine").text(number)),
        )
}
