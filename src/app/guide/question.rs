//! The question of a stage: the learner says what will happen, then sees what did.

use super::markdown::Markdown;
use crate::app::i18n::{Key, format, text};
use crate::app::lessons::course;
use crate::app::logic::number::in_unit;
use crate::app::panels::panels;
use crate::app::presenter::{HandsCounted, HandsFor, stage_question};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::lesson::{Ask, GivenAnswer, WhichRun};
use nudgeproof::session::Action;

/// The question of a stage.
#[component]
pub(super) fn QuestionView(
    /// Number of the stage, from 0.
    stage: usize,
    ask: Ask,
) -> impl IntoView {
    let (workspace, course, panels) = (workspace(), course(), panels());
    let given = Memo::new(move |_| {
        course.standing.read().answers.iter().rfind(|a| a.stage == stage).copied()
    });
    let kind = if ask.run == WhichRun::Next { Key::AskBefore } else { Key::AskAfter };
    let choices = choices(&ask);
    let question = Signal::stored(untrack(|| stage_question(workspace, stage)));
    let button = |(i, choice): (usize, String)| {
        let node = if i == 0 { panels.first_choice } else { NodeRef::new() };
        view! {
            <button
                type="button"
                data-testid=format!("answer-{}", i + 1)
                node_ref=node
                aria-pressed=move || given.get().is_some_and(|a| a.answer == i).to_string()
                disabled=move || given.get().is_some_and(|a| a.right.is_some())
                on:click=move |_| {
                    workspace.act(Action::Predict { stage: stage + 1, answer: i + 1 });
                }
            >
                {choice}
                <HandsFor question answer=i />
            </button>
        }
    };
    let buttons = choices.iter().cloned().enumerate().map(button).collect_view();
    view! {
        <fieldset class="ask" data-testid="ask" node_ref=panels.question>
            <legend>
                <span class="ask-kind">{text(kind)}</span>
                <Markdown text=ask.text />
            </legend>
            <div class="choices">{buttons}</div>
            <HandsCounted question />
            {move || {
                given.get().map(|answer| {
                    let outcome = outcome(&answer, &choices);
                    view! { <p data-testid="answer-is" role="status">{outcome}</p> }
                })
            }}
        </fieldset>
    }
}

fn choices(ask: &Ask) -> Vec<String> {
    ask.choices().iter().map(|c| in_unit(c)).collect()
}

fn outcome(a: &GivenAnswer, choices: &[String]) -> String {
    let choice = |i: usize| choices.get(i).map_or("", String::as_str);
    match (a.was_right(), a.right) {
        (Some(true), _) => format(Key::AnswerRight, &[choice(a.answer)]),
        (Some(false), Some(right)) => format(Key::AnswerOther, &[choice(right), choice(a.answer)]),
        _ => text(Key::AnswerRun).into(),
    }
}

/// How a question was answered, with the reason, once the run that decides it is made.
#[component]
pub(super) fn AnswerOutcome(ask: Ask, answer: GivenAnswer) -> impl IntoView {
    let right = answer.was_right()?;
    Some(view! {
        <div
            class="answer"
            class:other=!right
            data-testid="answer-outcome"
            data-right=right.to_string()
        >
            <Markdown text=ask.text.clone() />
            <p>
                <b>{outcome(&answer, &choices(&ask))}</b>
                " "
                {in_unit(&ask.because)}
            </p>
        </div>
    })
}
