//! The question of a stage: the learner says what will happen, then sees what did.

use super::markdown::prose;
use crate::app::dom::{View, button, el};
use crate::app::i18n::{Key, format, text};
use crate::app::lessons::course;
use crate::app::logic::number::in_unit;
use crate::app::panels::panels;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::lesson::{Ask, GivenAnswer, Lesson, WhichRun};
use nudgeproof::session::Action;

/// The question of stage `stage`, from 0.
pub(super) fn ask_view(stage: usize, ask: &Ask) -> View {
    let (workspace, course, panels) = (workspace(), course(), panels());
    let given = Memo::new(move |_| {
        course.standing.read().answers.iter().rfind(|a| a.stage == stage).copied()
    });
    let choices = choices(ask);
    let told = choices.clone();
    let kind = if ask.run == WhichRun::Next { Key::AskBefore } else { Key::AskAfter };
    el("fieldset")
        .class("ask")
        .node_ref(panels.question)
        .test_id("ask")
        .child(el("legend").child(el("span").class("ask-kind").text(kind)).child(prose(&ask.text)))
        .child(el("div").class("choices").children(choices.into_iter().enumerate().map(
            |(i, choice)| {
                button(format!("answer-{}", i + 1))
                    .node_ref(if i == 0 { panels.first_choice } else { NodeRef::new() })
                    .attr("aria-pressed", move || {
                        given.get().is_some_and(|a| a.answer == i).to_string()
                    })
                    .attr("disabled", move || given.get().is_some_and(|a| a.right.is_some()))
                    .click(move || {
                        workspace.act(Action::Predict { stage: stage + 1, answer: i + 1 });
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

fn outcome(a: &GivenAnswer, choices: &[String]) -> String {
    let choice = |i: usize| choices.get(i).map_or("", String::as_str);
    match (a.was_right(), a.right) {
        (Some(true), _) => format(Key::AnswerRight, &[choice(a.answer)]),
        (Some(false), Some(right)) => format(Key::AnswerOther, &[choice(right), choice(a.answer)]),
        _ => text(Key::AnswerRun).into(),
    }
}

/// What came of the question of the stage before, with the reason.
pub(super) fn ask_outcome(lesson: &Lesson, answers: &[GivenAnswer], stage: usize) -> Option<View> {
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
