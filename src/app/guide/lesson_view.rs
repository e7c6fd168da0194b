use super::ask_view::{ask_outcome, ask_view};
use super::drill_view::{causes_view, mends_view};
use super::end_view::lesson_end;
use super::hints::{hint_button, open_hints};
use super::prose::prose;
use crate::app::desk::desk;
use crate::app::lessons::course;
use crate::app::live::{effect, memo};
use crate::app::screen;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::lesson::{Goal, Lesson, Place};
use std::sync::Arc;

/// The lesson under way, if the session belongs to one: what to do now, how far, hints by rungs.
#[component]
pub(super) fn LessonPanel() -> impl IntoView {
    let desk = desk();
    move || {
        if let Some(lesson) = desk.attempt.get() {
            return view! { <LessonCard lesson/> }.into_any();
        }
        let name = desk.with_session(|s| s.header().lesson.clone());
        let lost = |n: String| {
            view! { <p class="fine" data-testid="lesson-lost">{tell(Word::LessonLost, &[&n])}</p> }
        };
        name.map(lost).into_any()
    }
}

/// The stage under way in one line, where the lesson itself is out of sight.
#[component]
pub(crate) fn StageLine() -> impl IntoView {
    let (desk, course) = (desk(), course());
    let title = memo(move || {
        let done = course.standing.read().done;
        let attempt = desk.attempt.read();
        attempt.as_ref().and_then(|l| Some(l.stages.get(done)?.title.clone()))
    });
    move || {
        title.get().map(|t| {
            view! {
                <p class="stage-line">
                    <button type="button" data-testid="to-lesson" on:click=move |_| {
                        course.guide.set(true);
                        screen::show_soon("#guide");
                    }><b>{say(Word::Now)}": "</b>{t}</button>
                </p>
            }
        })
    }
}

/// What there is to see at a place of the page.
fn selector(place: Place) -> &'static str {
    match place {
        Place::Sheet => ".sheet-holder",
        Place::Routine | Place::Plan => ".routine",
        Place::Run => ".controls",
        Place::Nudge => ".nudge",
        Place::Readings | Place::Coach => ".tabs",
    }
}

/// The class that points at a place of the page while a stage is about it.
fn place_name(place: Place) -> &'static str {
    match place {
        Place::Sheet => "sheet",
        Place::Routine => "routine",
        Place::Plan => "plan",
        Place::Run => "run",
        Place::Nudge => "nudge",
        Place::Readings => "readings",
        Place::Coach => "coach",
    }
}

#[component]
fn LessonCard(lesson: Arc<Lesson>) -> impl IntoView {
    let (desk, course) = (desk(), course());
    let done = memo(move || course.standing.read().done);
    let total = lesson.stages.len();
    let whole = StoredValue::new(lesson.clone());
    Effect::new(move |before: Option<usize>| {
        let now = done.get();
        if let Some(before) = before.filter(|b| *b < now) {
            whole.with_value(|l| {
                desk.tell(tell(Word::StageDone, &[&l.stages[before].well_done]));
            });
        }
        now
    });
    effect(move || {
        let at = done.get();
        let place = whole.with_value(|l| l.stages.get(at).map_or("", |s| place_name(s.look_at)));
        screen::set_root("data-look-at", place);
    });
    on_cleanup(|| screen::set_root("data-look-at", ""));
    let now = move || {
        let at = done.get();
        let lesson = whole.get_value();
        let answers = course.standing.read_untracked().answers.clone();
        let before = at.checked_sub(1);
        let outcome = before.and_then(|b| ask_outcome(&lesson, &answers, b));
        let praise = before.map(|b| {
            view! { <p class="well-done" data-testid="well-done">{lesson.stages[b].well_done.clone()}</p> }
        });
        let body = match lesson.stages.get(at) {
            None => lesson_end(&lesson),
            Some(_) => view! { <StageView lesson at/> }.into_any(),
        };
        view! { {outcome} {praise} {body} }
    };
    let titles: Vec<_> = lesson.stages.iter().map(|s| s.title.clone()).collect();
    view! {
        <section class="lesson"  data-testid=format!("lesson-{}", lesson.name)
            data-seed=lesson.seed.to_string() aria-labelledby="lesson-title">
            <h2 id="lesson-title">{lesson.title.clone()}</h2>
            <div class="progress" role="progressbar" aria-label=say(Word::LessonProgress)
                aria-valuemin="0" aria-valuemax=total aria-valuenow=move || done.get()>
                {titles.into_iter().enumerate().map(|(i, title)| view! {
                    <span class="task" class:done=move || { i < done.get() } class:now=move || i == done.get()
                        data-testid=format!("task-{}", i + 1)
                        data-done=move || (i < done.get()).to_string()
                        title=title></span>
                }).collect_view()}
                <span class="progress-text">{move || tell(Word::ProgressIs, &[&done.get().to_string(), &total.to_string()])}</span>
            </div>
            {now}
        </section>
    }
}

/// What is to be done now.
#[component]
fn StageView(lesson: Arc<Lesson>, at: usize) -> impl IntoView {
    let (desk, course) = (desk(), course());
    let stage = lesson.stages[at].clone();
    let whole = StoredValue::new(lesson.clone());
    // How many rungs of hints are open: kept in the session, so that a reload shows them again.
    let rungs = memo(move || {
        desk.now.track();
        whole.with_value(|l| desk.with_session(|s| l.hints_shown(s, at)))
    });
    let ask = stage.ask.as_ref().map(|ask| ask_view(at, ask));
    let drill = match stage.goal {
        Goal::CauseNamed => causes_view(&lesson),
        Goal::Mended => mends_view(&lesson),
        _ => ().into_any(),
    };
    let look_at = stage.look_at;
    let hints = stage.hints.clone();
    let number = tell(Word::AttemptNumber, &[&lesson.seed.to_string()]);
    view! {
        <div class="stage" data-testid="stage" data-stage=at + 1>
            <h3>{stage.title.clone()}</h3>
            {prose(&stage.say)}
            {ask}
            {drill}
            {open_hints(hints, rungs)}
            <div class="row-tools">
                {hint_button("hint", rungs, move || {
                    let next = whole.with_value(|l| desk.with_session(|s| l.next_hint(s, at)));
                    if let Some(action) = next {
                        desk.act(action);
                    }
                })}
                <button type="button" class="go-there" data-testid="go-there" on:click=move |_| {
                    course.guide.set(!matches!(look_at, Place::Routine | Place::Plan));
                    screen::show_soon(selector(look_at));
                }>{say(Word::GoThere)}</button>
                <button type="button" data-testid="start-over"
                    on:click=move |_| course.again(&whole.get_value())>{say(Word::StartOver)}</button>
                <span class="fine">{number}</span>
            </div>
        </div>
    }
}
