//! The question of a stage: the learner says what will happen, then sees what did.

use super::markdown::Markdown;
use crate::app::i18n::{Key, format, text};
use crate::app::keys::{KeyCommand, aria, shortcuts, tooltip};
use crate::app::lessons::course;
use crate::app::logic::number::in_unit;
use crate::app::panels::panels;
use crate::app::presenter::{HandsCounted, HandsFor, stage_question};
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::lesson::{Ask, GivenAnswer, WhichRun};
use nudgeproof::routine::RunKind;
use nudgeproof::session::{Action, Certainty};

/// The question of a stage.
#[component]
pub(super) fn QuestionView(
    /// Number of the stage, from 0.
    stage: usize,
    ask: Ask,
    /// The kind of run that shows the answer, if the stage asks for a certain one.
    kind_of_run: Option<RunKind>,
) -> impl IntoView {
    let (workspace, course, panels) = (workspace(), course(), panels());
    let given = Memo::new(move |_| {
        course.standing.read().answers.iter().rfind(|a| a.stage == stage).copied()
    });
    let reads_later = Memo::new(move |_| {
        let standing = course.standing.read();
        standing.done == stage && standing.reads_later
    });
    let predicts = ask.run == WhichRun::Next;
    let kind = if predicts { Key::AskBefore } else { Key::AskAfter };
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
                disabled=move || reads_later.get() || given.get().is_some_and(|a| a.is_closed())
                on:click=move |_| course.answer(i)
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
            <Show when=move || reads_later.get()>
                <p class="fine" data-testid="reads-later">{text(Key::ReadLater)}</p>
            </Show>
            <div class="choices">{buttons}</div>
            {predicts.then(|| view! { <HowSure stage given /> })}
            <HandsCounted question />
            {move || {
                given.get().filter(|_| !course.is_test()).map(|answer| {
                    let outcome = match answer.certainty {
                        None if predicts => text(Key::AnswerSure).into(),
                        _ if answer.not_shown && answer.right.is_none() => {
                            text(not_shown(workspace, kind_of_run)).into()
                        }
                        _ => outcome(&answer, &choices),
                    };
                    view! { <p data-testid="answer-is" role="status">{outcome}</p> }
                })
            }}
        </fieldset>
    }
}

/// Why the last run did not show the answer; `asked` is the kind of run that the stage asks for.
fn not_shown(workspace: Workspace, asked: Option<RunKind>) -> Key {
    let last = workspace.state().last_run().map(|run| (run.finished(), run.kind));
    match asked {
        Some(kind) if last.is_some_and(|(whole, is)| whole && is != kind) => match kind {
            RunKind::Reference => Key::AnswerNeedsReference,
            RunKind::Proof => Key::AnswerNeedsProof,
            RunKind::Dry => Key::AnswerNeedsDry,
            RunKind::Production => Key::AnswerNeedsProduction,
            RunKind::Plain => Key::AnswerNotShown,
        },
        _ => Key::AnswerNotShown,
    }
}

/// How sure the learner is of a prediction, in three steps. The keys count on from those of the answers.
#[component]
fn HowSure(
    /// Number of the stage, from 0.
    stage: usize,
    given: Memo<Option<GivenAnswer>>,
) -> impl IntoView {
    let (workspace, panels) = (workspace(), panels());
    let say = move |certainty: Certainty| {
        if let Some(given) = given.get_untracked().filter(|a| !a.is_closed()) {
            let (stage, answer) = (stage + 1, given.answer + 1);
            workspace.act(Action::Predict { stage, answer, certainty: Some(certainty) });
        }
    };
    for (i, certainty) in Certainty::ALL.into_iter().enumerate() {
        shortcuts().on(KeyCommand::Sure(i), move || say(certainty));
    }
    Effect::new(move || {
        panels.certainty_waits.set(given.get().is_some_and(|a| a.certainty.is_none()));
    });
    on_cleanup(move || panels.certainty_waits.set(false));
    let button = |(i, certainty): (usize, Certainty)| {
        let node = if i == 0 { panels.first_certainty } else { NodeRef::new() };
        view! {
            <button
                type="button"
                data-testid=format!("sure-{}", i + 1)
                node_ref=node
                aria-pressed=move || given.get().is_some_and(|a| a.certainty == Some(certainty)).to_string()
                disabled=move || given.get().is_none_or(|a| a.is_closed())
                title=tooltip(KeyCommand::Sure(i))
                aria-keyshortcuts=aria(KeyCommand::Sure(i))
                on:click=move |_| say(certainty)
            >
                {text(certainty_name(certainty))}
            </button>
        }
    };
    let buttons = Certainty::ALL.into_iter().enumerate().map(button).collect_view();
    view! {
        <div class="how-sure" role="group" aria-label=text(Key::HowSure)>
            <span>{text(Key::HowSure)}</span>
            <div class="choices sure">{buttons}</div>
        </div>
    }
}

/// How sure one is, in words.
pub(crate) fn certainty_name(certainty: Certainty) -> Key {
    match certainty {
        Certainty::Guessing => Key::SureGuessing,
        Certainty::FairlySure => Key::SureFairly,
        Certainty::Certain => Key::SureCertain,
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
        _ if a.over => text(Key::AnswerNotShown).into(),
        _ => text(Key::AnswerRun).into(),
    }
}

/// How a question was answered, with the reason, once the run that decides it is made.
#[component]
pub(super) fn AnswerOutcome(ask: Ask, answer: GivenAnswer) -> impl IntoView {
    let right = answer.was_right()?;
    let because = answer.right.and_then(|right| ask.because_of(right)).map(in_unit);
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
                {because}
            </p>
        </div>
    })
}
