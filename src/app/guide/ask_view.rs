//! The question of a stage: the learner says what will happen, then sees what did.

use super::prose::prose;
use crate::app::desk::desk;
use crate::app::lessons::course;
use crate::app::live::memo;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::lesson::{Answered, Ask, Lesson, Which};
use nudgeproof::session::Action;

/// The id of the question's box: where the run button points to while it waits.
pub(crate) const ASK: &str = "ask";

/// The question of stage `stage`, from 0.
pub(super) fn ask_view(stage: usize, ask: &Ask) -> AnyView {
    let (desk, course) = (desk(), course());
    let given =
        memo(move || course.standing.read().answers.iter().rfind(|a| a.stage == stage).copied());
    let choices = ask.choices();
    let told = choices.clone();
    let kind = if ask.run == Which::Next { Word::AskBefore } else { Word::AskAfter };
    view! {
        <fieldset class="ask" id=ASK data-testid="ask">
            <legend><span class="ask-kind">{say(kind)}</span>{prose(&ask.text)}</legend>
            <div class="choices">
                {choices.into_iter().enumerate().map(|(i, choice)| view! {
                    <button type="button" data-testid=format!("answer-{}", i + 1)
                        aria-pressed=move || given.get().is_some_and(|a| a.answer == i).to_string()
                        disabled=move || given.get().is_some_and(|a| a.right.is_some())
                        on:click=move |_| {
                            desk.act(Action::Predict { stage: stage + 1, answer: i + 1 });
                        }>{choice}</button>
                }).collect_view()}
            </div>
            {move || given.get().map(|a| view! {
                <p data-testid="answer-is" role="status">{outcome(&a, &told)}</p>
            })}
        </fieldset>
    }
    .into_any()
}

fn outcome(a: &Answered, choices: &[String]) -> String {
    let choice = |i: usize| choices.get(i).map_or("", String::as_str);
    match (a.was_right(), a.right) {
        (Some(true), _) => tell(Word::AnswerRight, &[choice(a.answer)]),
        (Some(false), Some(right)) => tell(Word::AnswerOther, &[choice(right), choice(a.answer)]),
        _ => say(Word::AnswerRun).into(),
    }
}

/// What came of the question of the stage before, with the reason.
pub(super) fn ask_outcome(lesson: &Lesson, answers: &[Answered], stage: usize) -> Option<AnyView> {
    let ask = lesson.stages.get(stage)?.ask.as_ref()?;
    let answer = answers.iter().rfind(|a| a.stage == stage)?;
    let right = answer.was_right()?;
    Some(
        view! {
            <div class="answer" class:other={!right} data-testid="answer-outcome" data-right=right.to_string()>
                {prose(&ask.text)}
                <p><b>{outcome(answer, &ask.choices())}</b>" "{ask.because.clone()}</p>
            </div>
        }
        .into_any(),
    )
}
