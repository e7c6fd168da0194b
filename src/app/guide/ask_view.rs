//! The question of a stage: the learner says what will happen, then sees what did.

use super::prose::prose;
use crate::app::desk::desk;
use crate::app::dom::{View, button, el};
use crate::app::lessons::{ASK, course};
use crate::app::live::memo;
use crate::app::logic::number::in_unit;
use crate::app::words::{Word, say, tell};
use nudgeproof::lesson::{Answered, Ask, Lesson, Which};
use nudgeproof::session::Action;

/// The question of stage `stage`, from 0.
pub(super) fn ask_view(stage: usize, ask: &Ask) -> View {
    let (desk, course) = (desk(), course());
    let given =
        memo(move || course.standing.read().answers.iter().rfind(|a| a.stage == stage).copied());
    let choices = choices(ask);
    let told = choices.clone();
    let kind = if ask.run == Which::Next { Word::AskBefore } else { Word::AskAfter };
    el("fieldset")
        .class("ask")
        .attr("id", ASK)
        .test_id("ask")
        .child(el("legend").child(el("span").class("ask-kind").text(kind)).child(prose(&ask.text)))
        .child(el("div").class("choices").children(choices.into_iter().enumerate().map(
            |(i, choice)| {
                button(format!("answer-{}", i + 1))
                    .attr("aria-pressed", move || {
                        given.get().is_some_and(|a| a.answer == i).to_string()
                    })
                    .attr("disabled", move || given.get().is_some_and(|a| a.right.is_some()))
                    .click(move || {
                        desk.act(Action::Predict { stage: stage + 1, answer: i + 1 });
                    })
                    .text(choice)
            },
        )))
        .child(move || {
            given.get().map(|a| {
                el("p").test_id("answer-is").attr("role", "status").text(outcome(&a, &told))
            })
        })
}

fn choices(ask: &Ask) -> Vec<String> {
    ask.choices().iter().map(|c| in_unit(c)).collect()
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
pub(super) fn ask_outcome(lesson: &Lesson, answers: &[Answered], stage: usize) -> Option<View> {
    let ask = lesson.stages.get(stage)?.ask.as_ref()?;
    let answer = answers.iter().rfind(|a| a.stage == stage)?;
    let right = answer.was_right()?;
    Some(
        el("div")
            .class("answer")
            .class_if("other", !right)
            .test_id("answer-outcome")
            .attr("data-right", right.to_string())
            .child(prose(&ask.text))
            .child(
                el("p")
                    .child(el("b").text(outcome(answer, &choices(ask))))
                    .text(" ")
                    .text(in_unit(&ask.because)),
            ),
    )
}
