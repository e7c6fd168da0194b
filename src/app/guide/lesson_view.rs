use super::ask_view::{AskOutcome, AskView};
use super::drill_view::DrillView;
use super::prose::prose;
use crate::app::desk::desk;
use crate::app::live::{effect, memo, when};
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::lesson::{Kind, Lesson, Place, lesson};

/// The lesson under way, if the session belongs to one: what to do now, how far, hints by rungs.
#[component]
pub(super) fn LessonPanel() -> impl IntoView {
    let desk = desk();
    let name = memo(move || {
        desk.now.track();
        desk.with_session(|s| s.header().lesson.clone())
    });
    move || {
        let found = name.get().and_then(|n| lesson(&n))?;
        Some(view! { <LessonCard lesson=found/> })
    }
}

/// The stage under way in one line, where the lesson itself is out of sight.
#[component]
pub(crate) fn StageLine() -> impl IntoView {
    let desk = desk();
    let title = memo(move || {
        desk.now.track();
        desk.with_session(|s| {
            let lesson = lesson(s.header().lesson.as_deref()?)?;
            Some(lesson.stages.get(lesson.progress(s).done)?.title.clone())
        })
    });
    move || {
        title.get().map(|t| {
            view! {
                <p class="stage-line"><b>{say(Word::Now)}": "</b>{t}</p>
            }
        })
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
fn LessonCard(lesson: &'static Lesson) -> impl IntoView {
    let desk = desk();
    let done = memo(move || {
        desk.now.track();
        desk.with_session(|s| lesson.progress(s).done)
    });
    let total = lesson.stages.len();
    // How many rungs of hints are open for the stage under way.
    let rungs = RwSignal::new(0_usize);
    Effect::new(move |before: Option<usize>| {
        let now = done.get();
        if let Some(before) = before.filter(|b| *b < now) {
            rungs.set(0);
            desk.tell(tell(Word::StageDone, &[&lesson.stages[before].well_done]));
        }
        now
    });
    effect(move || {
        let place = lesson.stages.get(done.get()).map_or("", |s| place_name(s.look_at));
        crate::app::screen::set_root("data-look-at", place);
    });
    on_cleanup(|| crate::app::screen::set_root("data-look-at", ""));
    let now = move || {
        match lesson.stages.get(done.get()) {
        None => view! {
            <div class="stage finished" data-testid="lesson-finished">
                {done.get().checked_sub(1).map(|before| view! { <AskOutcome lesson stage=before/> })}
                <h3>{say(Word::LessonFinished)}</h3>
                <p>{lesson.about.clone()}</p>
                <p>{say(Word::LessonNext)}</p>
            </div>
        }
        .into_any(),
        Some(stage) => view! {
            <div class="stage" data-testid="stage" data-stage=done.get() + 1>
                {done.get().checked_sub(1).map(|before| view! { <AskOutcome lesson stage=before/> })}
                <h3>{stage.title.clone()}</h3>
                {prose(&stage.say)}
                {stage.ask.as_ref().map(|ask| view! { <AskView lesson stage=done.get() ask/> })}
                {(lesson.kind == Kind::Drill).then(|| view! { <DrillView lesson/> })}
                <ol class="hints">
                    {move || stage.hints.iter().take(rungs.get()).map(|h| view! {
                        <li data-testid="hint-text">{prose(h)}</li>
                    }).collect_view()}
                </ol>
                {when(move || { rungs.get() < stage.hints.len() }, move || view! {
                    <button type="button" data-testid="hint" on:click=move |_| rungs.update(|r| *r += 1)>
                        {move || say(match rungs.get() {
                            0 => Word::HintAsk,
                            1 => Word::HintPoint,
                            _ => Word::HintShow,
                        })}
                    </button>
                }.into_any())}
            </div>
        }
        .into_any(),
    }
    };
    view! {
        <section class="lesson" data-testid=format!("lesson-{}", lesson.name) aria-labelledby="lesson-title">
            <h2 id="lesson-title">{lesson.title.clone()}</h2>
            <div class="progress" role="progressbar" aria-label=say(Word::LessonProgress)
                aria-valuemin="0" aria-valuemax=total aria-valuenow=move || done.get()>
                {(0..total).map(|i| view! {
                    <span class="task" class:done=move || { i < done.get() } class:now=move || i == done.get()
                        data-testid=format!("task-{}", i + 1)
                        data-done=move || (i < done.get()).to_string()
                        title=lesson.stages[i].title.clone()></span>
                }).collect_view()}
                <span class="progress-text">{move || tell(Word::ProgressIs, &[&done.get().to_string(), &total.to_string()])}</span>
            </div>
            {now}
        </section>
    }
}
