//! The card *Now*: the task of the lesson, its question, or what the coach found; one at a time.

mod coach;
mod drill;
mod finding_card;
mod hints;
mod lesson_end;
mod lesson_panel;
mod markdown;
mod question;
mod score;

pub(crate) use coach::finding_in_front;
pub(crate) use finding_card::finding_line;
pub(crate) use lesson_panel::LessonPanel;
pub(crate) use markdown::Markdown;
pub(crate) use question::certainty_name;
pub(crate) use score::SessionScore;

use super::controls::Tab;
use super::i18n::{Key, format, text, words};
use super::keys::{KeyCommand, shortcuts};
use super::lessons::course;
use super::logic::class_setup::ClassPanel;
use super::panels::{Panel, panels};
use super::presenter::{ClassQuestion, RevealCard, class_rules, guesses, reveal_scene};
use super::workspace::workspace;
use coach::{Coach, findings_told};
use leptos::prelude::*;
use nudgeproof::lesson::{Goal, Lesson, LookAt, Stage};

/// The card. In a lesson the task stands in front; the coach has it otherwise, and when asked for.
#[component]
pub(crate) fn NowCard() -> impl IntoView {
    let (workspace, course, panels) = (workspace(), course(), panels());
    let in_lesson = Memo::new(move |_| workspace.attempt.read().is_some());
    let rules = class_rules();
    let has_coach = move || rules.shows(ClassPanel::Coach);
    let coach =
        Memo::new(move |_| (panels.coach_in_front.get() && has_coach()) || !in_lesson.get());
    let looks_at = Memo::new(move |_| course.looks_at());
    // Each stage begins with its own words, one about the coach with the coach.
    Effect::new(move || {
        let about_coach = matches!(looks_at.get(), Some((_, LookAt::Coach)));
        panels.coach_in_front.set(about_coach);
    });
    // A question stands over the steps, whatever its length: nothing else moves for it.
    let asks = Memo::new(move |_| {
        let standing = course.standing.read();
        let ask =
            workspace.attempt.with(|l| Some(l.as_ref()?.stages.get(standing.done)?.ask.is_some()));
        ask.unwrap_or_default() && !coach.get()
    });
    // So do the runs, looks and causes of a drill, or its mends.
    let drills = Memo::new(move |_| {
        let standing = course.standing.read();
        let of_drill = |stage: &Stage| {
            [Goal::CauseNamed, Goal::Mended].iter().any(|one| stage.goal.asks_for(one))
        };
        let drills = |lesson: &Lesson| {
            lesson.stages.get(standing.done..).is_some_and(|left| left.iter().any(of_drill))
        };
        workspace.attempt.with(|l| l.as_deref().is_some_and(drills)) && !coach.get()
    });
    shortcuts().on(KeyCommand::GoToNow, move || {
        let asks = asks.get_untracked();
        panels.show(if asks { Panel::Question } else { Panel::Lesson });
        if let Some(card) = panels.now.get_untracked().filter(|_| !asks) {
            // Focus can only fail on an element that is gone.
            let _ = card.focus();
        }
    });
    let (guesses, scene) = (guesses(), reveal_scene());
    let for_class = move || guesses.class_asked() || scene.is_on();
    view! {
        <section
            class="now-card"
            class:asks=move || asks.get() || for_class()
            class:class-asks=for_class
            class:drills=move || drills.get()
            node_ref=panels.now
            aria-label=text(Key::Now)
            tabindex="0"
            data-testid="now"
        >
            <RevealCard />
            <ClassQuestion />
            <Show when=move || in_lesson.get() && has_coach()>
                <Tabs coach />
            </Show>
            <div class="now-body" class:behind=move || coach.get()>
                <LessonPanel />
            </div>
            <div class="now-body" class:behind=move || !coach.get()>
                <Show when=move || !in_lesson.get()>
                    <div class="now-head">
                        <span class="now-name">{text(Key::Now)}</span>
                        <h2>{text(Key::Coach)}</h2>
                    </div>
                </Show>
                <Show
                    when=has_coach
                    fallback=|| view! { <p class="quiet">{text(Key::CoachNotInClass)}</p> }
                >
                    <Coach />
                </Show>
            </div>
        </section>
    }
    .into_any()
}

/// Task and coach take turns in a lesson.
#[component]
fn Tabs(
    /// Whether the coach is in front.
    coach: Memo<bool>,
) -> impl IntoView {
    let panels = panels();
    let found = findings_told();
    let name = move || match &found.read()[..] {
        [] => text(Key::Coach).to_owned(),
        [first, ..] => {
            let (count, title) = (found.read().len(), first.rule.title(words()));
            format(Key::CoachFound, &[&count.to_string(), &title])
        }
    };
    let tab = move |is_coach: bool, test_id: &'static str, name: AnyView| {
        let selected = Signal::derive(move || coach.get() == is_coach);
        view! {
            <Tab test_id selected on:click=move |_| panels.coach_in_front.set(is_coach)>
                {name}
            </Tab>
        }
    };
    view! {
        <div class="now-tabs">
            <span class="now-name">{text(Key::Now)}</span>
            <div class="tabs" role="tablist" aria-label=text(Key::Now)>
            {tab(false, "tab-task", text(Key::TabTask).into_any())}
            {tab(true, "tab-coach", name.into_any())}
            </div>
        </div>
    }
}
