use super::drill::{Causes, Evidence, Mends};
use super::hints::{HintButton, OpenHints};
use super::lesson_end::LessonEnd;
use super::markdown::Markdown;
use super::question::{AnswerOutcome, QuestionView};
use crate::app::i18n::{Key, format, text};
use crate::app::lessons::course;
use crate::app::panels::{Panel, panels};
use crate::app::screen;
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::lesson::{Goal, Lesson, LessonKind, LookAt, Stage};
use std::sync::Arc;

/// The lesson under way, if the session belongs to one: what to do now, how far, hints by level.
#[component]
pub(crate) fn LessonPanel() -> impl IntoView {
    let workspace = workspace();
    move || {
        if let Some(lesson) = workspace.attempt.get() {
            return view! { <AttemptView lesson /> }.into_any();
        }
        // Its lesson may have been removed, or have changed since.
        let name = workspace.with_session(|s| s.header().lesson.clone());
        let lost = |name: String| {
            let lost = format(Key::LessonLost, &[&name]);
            view! { <p class="fine" data-testid="lesson-lost">{lost}</p> }
        };
        name.map(lost).into_any()
    }
}

/// The panel where a stage is done.
fn panel_of(place: LookAt) -> Panel {
    match place {
        LookAt::Sheet => Panel::Sheet,
        LookAt::Routine | LookAt::Step => Panel::Routine,
        LookAt::Run => Panel::RunControls,
        LookAt::Nudge => Panel::Nudge,
        LookAt::Readings => Panel::Readings,
        LookAt::Coach => Panel::Coach,
        // In a shift everything stands side by side.
        LookAt::Charts | LookAt::Decisions => Panel::Lesson,
    }
}

/// The value of `data-look-at` by which the style sheet marks a place while a stage is about it.
fn place_name(place: LookAt) -> &'static str {
    match place {
        LookAt::Sheet => "sheet",
        LookAt::Routine => "routine",
        LookAt::Step => "step",
        LookAt::Run => "run",
        LookAt::Nudge => "nudge",
        LookAt::Readings => "readings",
        LookAt::Coach => "coach",
        LookAt::Charts => "charts",
        LookAt::Decisions => "decisions",
    }
}

/// An attempt at a lesson.
#[component]
fn AttemptView(lesson: Arc<Lesson>) -> impl IntoView {
    let (workspace, course, panels) = (workspace(), course(), panels());
    let is_test = lesson.kind == LessonKind::Test;
    let lesson = StoredValue::new(lesson);
    // For a moment after another attempt was opened this one is still on the page: it stays as it is.
    let done = Memo::new(move |before: Option<&usize>| {
        let opened = workspace.attempt.get();
        let is_open = opened.is_some_and(|opened| lesson.with_value(|l| Arc::ptr_eq(l, &opened)));
        if is_open { course.standing.read().done } else { before.copied().unwrap_or_default() }
    });
    Effect::new(move |before: Option<usize>| {
        let now = done.get();
        if let Some(before) = before.filter(|before| *before < now) {
            let well_done = lesson.with_value(|l| l.stages[before].well_done.clone());
            if !is_test {
                tell_done(workspace, &well_done);
            }
            // What comes next is read from its beginning.
            request_animation_frame(move || {
                if let Some(card) = panels.now.get_untracked() {
                    card.set_scroll_top(0);
                }
            });
        }
        now
    });
    Effect::new(move || {
        let done = done.get();
        let place = lesson.with_value(|l| l.stages.get(done).map_or("", |s| place_name(s.look_at)));
        screen::set_root("data-look-at", place);
    });
    on_cleanup(|| screen::set_root("data-look-at", ""));
    let (name, title, seed) =
        lesson.with_value(|l| (l.name.clone(), l.title.clone(), l.seed.to_string()));
    let number = format(Key::AttemptNumber, &[&seed]);
    let titles = lesson.with_value(|l| l.stages.iter().map(|s| s.title.clone()).collect());
    let before = move || {
        // A test tells nothing.
        let last = done.get().checked_sub(1).filter(|_| !is_test)?;
        Some(view! { <StageDone lesson=lesson.get_value() stage=last /> })
    };
    let now = move || {
        let (lesson, stage) = (lesson.get_value(), done.get());
        if stage < lesson.stages.len() {
            view! { <StageUnderWay lesson stage /> }.into_any()
        } else {
            view! { <LessonEnd lesson /> }.into_any()
        }
    };
    view! {
        <section
            class="lesson"
            data-testid=format!("lesson-{name}")
            data-seed=seed
            aria-labelledby="lesson-title"
        >
            <div class="now-head">
                <h2 id="lesson-title">{title}</h2>
                <span>{number}</span>
                <StageProgress titles done />
            </div>
            {before}
            {now}
        </section>
    }
}

/// Says that a stage is done; of one in which hands went into a cell that could run, that above all.
fn tell_done(workspace: Workspace, well_done: &str) {
    let done = format(Key::StageDone, &[well_done]);
    let last = workspace.with_session(|session| session.actions().len().checked_sub(1));
    let entered = workspace.state_untracked().live_entries.last().map(|entry| entry.action);
    if entered.is_some() && entered == last {
        workspace.warn([text(Key::HandsInLiveCell), &done].join(" "));
    } else {
        workspace.notify(done);
    }
}

/// How many of the stages are done.
#[component]
fn StageProgress(titles: Vec<String>, done: Memo<usize>) -> impl IntoView {
    let total = titles.len().to_string();
    let text_of = {
        let total = total.clone();
        move || format(Key::ProgressIs, &[&done.get().to_string(), &total])
    };
    let stage = move |(i, title): (usize, String)| {
        view! {
            <span
                class="task"
                class:done=move || i < done.get()
                class:now=move || i == done.get()
                data-testid=format!("task-{}", i + 1)
                data-done=move || (i < done.get()).to_string()
                title=title
            ></span>
        }
    };
    view! {
        <div
            class="progress"
            role="progressbar"
            aria-label=text(Key::LessonProgress)
            aria-valuemin="0"
            aria-valuemax=total
            aria-valuenow=move || done.get().to_string()
        >
            {titles.into_iter().enumerate().map(stage).collect_view()}
            <span class="progress-text">{text_of}</span>
        </div>
    }
}

/// The stage done last: how its question was answered, and what was good about it.
#[component]
fn StageDone(
    lesson: Arc<Lesson>,
    /// Number of the stage, from 0.
    stage: usize,
) -> impl IntoView {
    let answers = course().standing.read_untracked().answers.clone();
    let answer = answers.into_iter().rfind(|a| a.stage == stage);
    let stage = &lesson.stages[stage];
    let outcome = stage.ask.clone().zip(answer);
    view! {
        {outcome.map(|(ask, answer)| view! { <AnswerOutcome ask answer /> })}
        <p class="well-done" data-testid="well-done">{stage.well_done.clone()}</p>
    }
}

/// What is to be done now.
#[component]
fn StageUnderWay(
    lesson: Arc<Lesson>,
    /// Number of the stage, from 0.
    stage: usize,
) -> impl IntoView {
    let (workspace, course, panels) = (workspace(), course(), panels());
    let is_test = lesson.kind == LessonKind::Test;
    let at = stage;
    let stage = lesson.stages[at].clone();
    let attempt = StoredValue::new(lesson.clone());
    // The open hints are kept in the session, so that they are open again after a reload.
    let open_hints = Memo::new(move |_| {
        workspace.track_session();
        attempt.with_value(|l| workspace.with_session(|s| l.hints_shown(s, at)))
    });
    let next_hint = move || {
        let next = attempt.with_value(|l| workspace.with_session(|s| l.next_hint(s, at)));
        if let Some(action) = next {
            workspace.act(action);
        }
    };
    let kind_of_run = stage.goal.kind_of_run();
    let names = |s: &Stage| s.goal.asks_for(&Goal::CauseNamed);
    let drill = if lesson.stages.iter().skip(at + 1).any(names) {
        // What the runs read is asked for before it is said what is wrong.
        view! { <Evidence lesson=lesson.clone() /> }.into_any()
    } else if names(&stage) {
        view! { <Causes lesson=lesson.clone() /> }.into_any()
    } else if stage.goal.asks_for(&Goal::Mended) {
        view! { <Mends lesson=lesson.clone() /> }.into_any()
    } else {
        ().into_any()
    };
    view! {
        <div class="stage" data-testid="stage" data-stage=(at + 1).to_string()>
            <h3>{stage.title}</h3>
            <Markdown text=stage.say />
            {stage.ask.map(|ask| view! { <QuestionView stage=at ask kind_of_run /> })}
            {drill}
            <OpenHints hints=stage.hints open=open_hints />
            <div class="row-tools">
                {if is_test {
                    view! { <LeaveOut lesson=attempt /> }.into_any()
                } else {
                    view! { <HintButton test_id="hint" open=open_hints next=next_hint /> }.into_any()
                }}
                {(lesson.kind != LessonKind::Shift)
                    .then(|| {
                        view! {
                            <button
                                type="button"
                                class="go-there"
                                data-testid="go-there"
                                on:click=move |_| panels.show(panel_of(stage.look_at))
                            >
                                {text(Key::GoThere)}
                            </button>
                        }
                    })}
                {(!is_test)
                    .then(|| {
                        view! {
                            <button
                                type="button"
                                data-testid="start-over"
                                on:click=move |_| course.begin_again(&attempt.get_value())
                            >
                                {text(Key::StartOver)}
                            </button>
                        }
                    })}
            </div>
        </div>
    }
}

/// Goes on to the next task of a test without an answer to this one.
#[component]
fn LeaveOut(lesson: StoredValue<Arc<Lesson>>) -> impl IntoView {
    let course = course();
    view! {
        <button
            type="button"
            data-testid="leave-out"
            on:click=move |_| course.leave_out(&lesson.get_value())
        >
            {text(Key::TestLeaveOut)}
        </button>
    }
}
