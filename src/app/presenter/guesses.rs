//! The class guesses: hands are counted for the answers to an open question, and shown after it.

use super::commands::kinds_that_fit;
use super::message::QuestionStatus;
use super::secrets::Secrets;
use crate::app::i18n::{Key, format, text};
use crate::app::keys::{KeyCommand, shortcuts};
use crate::app::lessons::Course;
use crate::app::logic::guesses::{ANSWERS, Question, Tally, what_is_wrong};
use crate::app::logic::number::in_unit;
use crate::app::settings::settings;
use crate::app::workspace::Workspace;
use leptos::prelude::*;
use nudgeproof::cell::Fault;

/// The questions to the class, and the hands counted.
#[derive(Clone, Copy)]
pub(crate) struct Guesses {
    workspace: Workspace,
    course: Course,
    /// Whether an instructor leads this page.
    pub(super) led: RwSignal<bool>,
    /// *What is wrong?*, while the instructor has it open.
    asked: RwSignal<Option<Question>>,
    /// The open question: the instructor's, or else that of the lesson.
    pub(super) question: Memo<Option<Question>>,
    tally: RwSignal<Tally>,
    /// The question whose hands are shown before its answer is given.
    shown: RwSignal<String>,
}

impl Guesses {
    pub(crate) fn new(workspace: Workspace, course: Course) -> Self {
        let asked = RwSignal::new(None::<Question>);
        let question =
            Memo::new(move |_| asked.get().or_else(|| lesson_question(workspace, course)));
        let (tally, shown) = (RwSignal::default(), RwSignal::default());
        // *What is wrong?* is about the work on the bench, and goes with it.
        Effect::watch(move || workspace.attempt.track(), move |(), _, _| asked.set(None), false);
        let led = RwSignal::new(false);
        let guesses = Self { workspace, course, led, asked, question, tally, shown };
        // What is made wrong in secret after the question was asked belongs to it; what is revealed answers it.
        let open = move || asked.with(|q| q.as_ref().is_some_and(|q| q.given.is_none()));
        Effect::watch(
            move || open().then(|| Secrets::of(workspace)),
            move |now, before, _| {
                if let (Some(now), Some(Some(before))) = (now, before)
                    && now != before
                    && !now.is_empty()
                {
                    guesses.ask();
                }
            },
            false,
        );
        guesses
    }

    /// Counts one hand for an answer to the open question, from 0, or takes one away. Once the hands are shown,
    /// or the answer is given, no hand is counted.
    pub(super) fn count(self, answer: usize, more: bool) {
        let open = self.question.get_untracked().filter(|question| question.given.is_none());
        let open = open.filter(|question| !untrack(|| self.are_shown(&question.id)));
        let Some(question) = open.filter(|question| answer < question.answers.len()) else {
            return;
        };
        self.tally.update(|tally| {
            if tally.question != question.id {
                *tally = Tally::new(&question.id, question.answers.len());
            }
            tally.count(answer, more);
        });
    }

    /// Counts from nothing.
    pub(super) fn begin_again(self) {
        self.tally.set(Tally::default());
        self.shown.set(String::new());
    }

    /// Asks what is wrong with the cell.
    pub(super) fn ask(self) {
        let secrets = untrack(|| Secrets::of(self.workspace));
        let wrong: Vec<_> = secrets.faults.iter().map(Fault::kind).collect();
        let others = untrack(|| kinds_that_fit(self.workspace));
        let seed = self.workspace.with_truth(|s| s.actions().len());
        let (answers, right) = what_is_wrong(&wrong, secrets.moved.is_some(), &others, seed);
        let id = format!("wrong-{}", js_sys::Math::random());
        let text = text(Key::WhatIsWrong).into();
        self.asked.set(Some(Question { id, text, answers, given: None, right: Some(right) }));
    }

    /// Shows the hands counted.
    pub(super) fn show(self) {
        if let Some(question) = self.question.get_untracked() {
            self.shown.set(question.id);
        }
    }

    /// Shows the hands counted for *what is wrong?*, and the right answer: what was secret is told.
    pub(super) fn answer(self) {
        self.show();
        self.asked.update(|asked| {
            if let Some(question) = asked {
                question.given = question.right;
            }
        });
    }

    /// Puts *what is wrong?* away.
    pub(super) fn close(self) {
        self.asked.set(None);
    }

    /// One key asks, shows the hands, and puts the question away.
    pub(super) fn ask_or_go_on(self) -> String {
        match self.asked.get_untracked() {
            None => self.ask(),
            Some(question) if !untrack(|| self.are_shown(&question.id)) => self.show(),
            Some(_) => self.close(),
        }
        String::new()
    }

    /// Whether the instructor has *what is wrong?* open; tracked.
    pub(crate) fn class_asked(self) -> bool {
        self.asked.read().is_some()
    }

    /// The hands counted for a question; tracked.
    pub(super) fn tally_of(self, question: &str) -> Option<Tally> {
        self.tally.with(|tally| (tally.question == question).then(|| tally.clone()))
    }

    /// Whether the hands of a question may be seen: its answer is given, or the instructor shows them. A
    /// question that is no longer open has been answered. Tracked.
    pub(super) fn are_shown(self, question: &str) -> bool {
        let open = self.question.read();
        let hidden = open.as_ref().is_some_and(|q| q.id == question && q.given.is_none());
        !hidden || *self.shown.read() == question
    }

    /// How the open question stands, for the instructor's window. Tracked.
    pub(super) fn status(self) -> Option<QuestionStatus> {
        let question = self.question.get()?;
        let tally = self.tally_of(&question.id);
        let hands = |at| tally.as_ref().and_then(|t| t.hands.get(at).copied()).unwrap_or_default();
        let answers = question.answers.iter().enumerate();
        Some(QuestionStatus {
            answers: answers.map(|(at, says)| (says.clone(), hands(at))).collect(),
            right: question.right,
            open: question.given.is_none(),
            shown: self.are_shown(&question.id),
            own: self.class_asked(),
            text: question.text,
        })
    }

    /// Sets the keys, for as long as the caller is shown: before a class they count hands, for a learner alone
    /// they answer.
    pub(super) fn listen(self) {
        let (shortcuts, settings) = (shortcuts(), settings());
        let before_a_class =
            move || untrack(|| settings.projector() || self.led.get() || self.class_asked());
        for answer in 0..ANSWERS {
            shortcuts.on(KeyCommand::Guess(answer), move || {
                if before_a_class() {
                    self.count(answer, true);
                } else {
                    self.course.answer(answer);
                }
            });
        }
    }
}

/// The id of the question that a stage of an attempt asks, from 0.
pub(crate) fn stage_question(workspace: Workspace, stage: usize) -> String {
    workspace.attempt.with(|lesson| {
        lesson.as_ref().map_or_else(String::new, |l| format!("{}-{}-{stage}", l.name, l.seed))
    })
}

fn lesson_question(workspace: Workspace, course: Course) -> Option<Question> {
    let standing = course.standing.read();
    let stage = standing.done;
    let lesson = workspace.attempt.get()?;
    let ask = lesson.stages.get(stage)?.ask.as_ref()?;
    let given = standing.answers.iter().rfind(|answer| answer.stage == stage);
    Some(Question {
        id: stage_question(workspace, stage),
        text: ask.text.clone(),
        answers: ask.choices().iter().map(|choice| in_unit(choice)).collect(),
        given: given.map(|answer| answer.answer),
        right: given.and_then(|answer| answer.right),
    })
}

/// The guesses of this page.
pub(crate) fn guesses() -> Guesses {
    expect_context()
}

/// The hands for one answer, as a bar and a number; nothing before they may be seen.
#[component]
pub(crate) fn HandsFor(
    #[prop(into)] question: Signal<String>,
    /// From 0.
    answer: usize,
) -> impl IntoView {
    let guesses = guesses();
    let bar = Memo::new(move |_| {
        let question = question.read();
        let tally = guesses.tally_of(&question).filter(|_| guesses.are_shown(&question))?;
        Some((*tally.hands.get(answer)?, tally.most()))
    });
    move || {
        let (hands, most) = bar.get()?;
        Some(view! {
            <span class="hands" data-testid=format!("hands-{}", answer + 1) data-value=hands>
                <meter
                    min="0"
                    max=most.to_string()
                    value=hands.to_string()
                    aria-label=text(Key::HandsForIt)
                ></meter>
                <b>{hands}</b>
            </span>
        })
    }
}

/// How many hands are counted, while their answers are still hidden.
#[component]
pub(crate) fn HandsCounted(#[prop(into)] question: Signal<String>) -> impl IntoView {
    let guesses = guesses();
    let total = Memo::new(move |_| {
        let question = question.read();
        let tally = guesses.tally_of(&question).filter(|_| !guesses.are_shown(&question))?;
        Some(tally.total())
    });
    move || {
        let says = format(Key::HandsCounted, &[&total.get()?.to_string()]);
        Some(view! { <p class="fine" role="status" data-testid="hands-counted">{says}</p> })
    }
}

/// *What is wrong?*, in front of the class.
#[component]
pub(crate) fn ClassQuestion() -> impl IntoView {
    let guesses = guesses();
    move || {
        let question = guesses.asked.get()?;
        let id = Signal::stored(question.id.clone());
        let answer = |(at, says): (usize, String)| {
            let right = question.given == Some(at);
            view! {
                <li class:right=right data-testid=format!("guess-{}", at + 1) data-right=right.to_string()>
                    <span>{says}</span>
                    <HandsFor question=id answer=at />
                </li>
            }
        };
        let answers = question.answers.iter().cloned().enumerate().map(answer).collect_view();
        Some(view! {
            <section class="ask class-ask" data-testid="class-question" aria-label=text(Key::ForTheClass)>
                <h2>{question.text.clone()}</h2>
                <ol class="guesses">{answers}</ol>
                <HandsCounted question=id />
                <button
                    type="button"
                    class="quiet"
                    data-testid="close-question"
                    on:click=move |_| guesses.close()
                >
                    {text(Key::CloseQuestion)}
                </button>
            </section>
        })
    }
}
