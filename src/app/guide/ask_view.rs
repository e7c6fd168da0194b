//! The question of a stage: the learner says what will happen, then sees what did.

use super::prose::prose;
use crate::app::desk::desk;
use crate::app::live::memo;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::lesson::{Answered, Ask, Lesson};
use nudgeproof::session::Action;

/// The question of stage `stage`, from 0.
#[component]
pub(super) fn AskView(lesson: &'static Lesson, stage: usize, ask: &'static Ask) -> impl IntoView {
    let desk = desk();
    let given = memo(move || {
        desk.now.track();
        desk.with_session(|s| lesson.answers(s).into_iter().rfind(|a| a.stage == stage))
    });
    let choices = ask.choices();
    let told = choices.clone();
    view! {
        <fieldset class="ask" data-testid="ask">
            <legend>{prose(&ask.text)}</legend>
            <div class="choices">
                {choices.into_iter().enumerate().map(|(i, choice)| view! {
                    <button type="button" data-testid=format!("answer-{}", i + 1)
                        aria-pressed=move || given.get().is_some_and(|a| a.answer == i).to_string()
                        disabled=move || given.get().is_some()
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
#[component]
pub(super) fn AskOutcome(lesson: &'static Lesson, stage: usize) -> impl IntoView {
    let desk = desk();
    let ask = lesson.stages.get(stage)?.ask.as_ref()?;
    let answer =
        desk.with_session(|s| lesson.answers(s).into_iter().rfind(|a| a.stage == stage))?;
    answer.right?;
    Some(view! {
        <div class="answer" data-testid="answer-outcome">
            <p>{prose(&ask.text)}</p>
            <p><b>{outcome(&answer, &ask.choices())}</b>" "{ask.because.clone()}</p>
        </div>
    })
}
