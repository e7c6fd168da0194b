//! The answers to a lesson for its instructor, on paper: for each task what is done, the right answer
//! for this task number, and why. All of it is taken from the solution as the program plays it.

use super::tables::{Table, texts};
use crate::app::controls::Select;
use crate::app::guide::Markdown;
use crate::app::i18n::{Key, format, text, words};
use crate::app::lessons::course;
use crate::app::logic::class_setup::task_number;
use crate::app::logic::number::in_unit;
use crate::app::logic::shift_words::{about_trouble, look_name};
use crate::app::presenter::FaultKeys;
use crate::app::record::{run_cells, run_heads};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::{WIRE_BENT, fault_kind};
use nudgeproof::lesson::{GivenAnswer, Lesson, LessonKind, Stage, lesson_files, lessons};
use nudgeproof::shift::Trouble;
use std::sync::Arc;

/// The answer sheet of a lesson and a task number that can be chosen.
#[component]
pub(crate) fn AnswerSheet() -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let all = Signal::derive(move || {
        let own = workspace.own_lessons.get();
        lessons().into_iter().map(|l| Arc::new(l.clone())).chain(own).collect::<Vec<_>>()
    });
    let chosen = RwSignal::new(lesson_files().next().map(|l| l.name.clone()).unwrap_or_default());
    let options = Signal::derive(move || {
        let option = |l: &Arc<Lesson>| (l.name.clone(), l.title.clone());
        all.with(|all| all.iter().map(option).collect::<Vec<_>>())
    });
    let number = course.class_number;
    let set_number = move |typed: String| {
        number.set(task_number(&typed));
    };
    let attempt = Memo::new(move |_| {
        let lesson = all.with(|all| all.iter().find(|l| l.name == *chosen.read()).cloned())?;
        let seed = number.get().unwrap_or(lesson.seed);
        Some(Attempt(lesson, seed))
    });
    let print = move |_| {
        // If the browser cannot print, it tells the user itself.
        let _ = window().print();
    };
    view! {
        <div class="page cell-page">
            <div class="no-print">
                <button type="button" data-testid="print-answers" class="run-button" on:click=print>
                    {text(Key::Print)}
                </button>
                <label class="pick">
                    <span>{text(Key::ColLesson)}</span>
                    <Select
                        test_id="answer-lesson"
                        options
                        value=chosen
                        on_change=move |name| chosen.set(name)
                    />
                </label>
                <label class="pick">
                    <span>{text(Key::ClassNumber)}</span>
                    <input
                        type="number"
                        min="1"
                        max="999999"
                        step="1"
                        data-testid="answer-number"
                        prop:value=move || attempt.get().map(|a| a.1.to_string())
                        on:change:target=move |event| set_number(event.target().value())
                    />
                </label>
                <span class="fine">{text(Key::AnswerSheetNote)}</span>
            </div>
            {move || attempt.get().map(|attempt| view! { <Answers attempt /> })}
        </div>
    }
}

/// A lesson and the number of the task.
#[derive(Debug, Clone)]
struct Attempt(Arc<Lesson>, u64);

impl PartialEq for Attempt {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0) && self.1 == other.1
    }
}

#[component]
fn Answers(attempt: Attempt) -> impl IntoView {
    let Attempt(lesson, seed) = attempt;
    let lesson = match lesson.variant(seed) {
        Ok(lesson) => lesson,
        Err(why) => return view! { <p role="alert">{why.to_string()}</p> }.into_any(),
    };
    let solved = match lesson.solved() {
        Ok(solved) => solved,
        Err((n, why)) => {
            return view! { <p role="alert">{format!("{n}: {why}")}</p> }.into_any();
        }
    };
    let answers = lesson.answers(&solved);
    let stage = |(i, stage): (usize, &Stage)| {
        let given = answers.iter().rfind(|a| a.stage == i);
        view! { <StageRow number=i + 1 stage=stage.clone() given=given.copied() /> }
    };
    let stages = lesson.stages.iter().enumerate().map(stage).collect_view();
    let part = lesson
        .file()
        .find_part(&lesson.part)
        .map_or_else(|| lesson.part.clone(), |part| part.title);
    let title = [
        (Key::ColLesson, lesson.title.clone()),
        (Key::ClassNumber, seed.to_string()),
        (Key::PartPlace, part),
        (Key::Takes, format(Key::Minutes, &[&lesson.minutes.to_string()])),
    ];
    let title = title.map(|(name, value)| {
        view! {
            <div>
                <dt>{text(name)}</dt>
                <dd>{value}</dd>
            </div>
        }
    });
    let watched = lesson.rules.iter().map(|rule| view! { <li>{rule.title(words())}</li> });
    let watched = watched.collect_view();
    let watches = (!lesson.rules.is_empty()).then(|| {
        view! {
            <section>
                <h2>{text(Key::CoachWatchesFor)}</h2>
                <ul>{watched}</ul>
            </section>
        }
    });
    let runs: Vec<_> = solved.state().runs.iter().map(|run| texts(run_cells(run))).collect();
    view! {
        <article class="cell-sheet answer-sheet" data-testid="answer-sheet">
            <header>
                <h1>{text(Key::AnswerSheet)}</h1>
            </header>
            <dl class="cell-title">{title}</dl>
            {watch_for(&lesson)}
            {causes(&lesson)}
            {shift(&lesson)}
            <table class="readings answers" data-testid="answers">
                <thead>
                    <tr>
                        <th scope="col">{text(Key::ColTask)}</th>
                        <th scope="col">{text(Key::ColRightAnswer)}</th>
                        <th scope="col">{text(Key::ColHowDone)}</th>
                    </tr>
                </thead>
                <tbody>{stages}</tbody>
            </table>
            <Table
                test_id="answer-runs"
                caption=text(Key::RunsOfSolution).into()
                columns=run_heads().to_vec()
                rows=runs
            />
            {watches}
            <FaultKeys />
        </article>
    }
    .into_any()
}

/// What the lesson is for, and what to look for in those who take it.
fn watch_for(lesson: &Lesson) -> Option<impl IntoView + use<>> {
    let (about, watch_for) = (lesson.about.clone(), lesson.file().watch_for.clone());
    (!watch_for.is_empty()).then(|| {
        view! {
            <section data-testid="watch-for">
                <h2>{text(Key::WhatItIsFor)}</h2>
                <p>{about}</p>
                <h2>{text(Key::WhatToLookFor)}</h2>
                <p>{watch_for}</p>
            </section>
        }
    })
}

/// In a shift: what goes wrong, and where it is first worth a look.
fn shift(lesson: &Lesson) -> Option<impl IntoView + use<>> {
    let shift = lesson.shift_at_start()?;
    let line = |trouble: &Trouble| {
        let [what, shows] = about_trouble(trouble, shift.parts());
        let at = format(Key::LookOf, &[look_name(trouble.kind.shows_at())]);
        view! {
            <p class="answer-cause" data-testid="answer-trouble">
                <b>{what}</b>
                {format!(" {shows} {at}.")}
            </p>
        }
    };
    Some(shift.troubles().iter().map(line).collect_view())
}

/// In a drill: what is wrong, how it shows, what mends it.
fn causes(lesson: &Lesson) -> AnyView {
    if lesson.kind != LessonKind::Drill {
        return ().into_any();
    }
    let line = |name: &&str| {
        let kind = fault_kind(name)?;
        Some(view! {
            <p class="answer-cause" data-testid="answer-cause">
                <b>{format(Key::CauseIs, &[kind.says])}</b>
                " "
                {in_unit(kind.sign)}
                " "
                {format(Key::MendedBy, &[&kind.mend()])}
            </p>
        })
    };
    let planted = lesson.planted();
    if planted.is_empty() {
        let nothing = format(Key::CauseIs, &[text(Key::CauseNothing)]);
        return view! { <p class="answer-cause" data-testid="answer-cause"><b>{nothing}</b></p> }
            .into_any();
    }
    // As a consequence.
    let bent = !planted.contains(&WIRE_BENT) && lesson.start().state().wire_is_bent();
    let wire = bent.then(|| view! { <p class="answer-cause">{text(Key::WireCutToo)}</p> });
    view! {
        {planted.iter().map(line).collect_view()}
        {wire}
    }
    .into_any()
}

/// A task: its title, the right answer to its question, and how it is done.
#[component]
fn StageRow(number: usize, stage: Stage, given: Option<GivenAnswer>) -> impl IntoView {
    let [.., shown] = stage.hints;
    let ask = stage.ask.zip(given);
    let asked = ask.as_ref().map(|(ask, _)| view! { <Markdown text=ask.text.clone() /> });
    let answer = ask.as_ref().map(|(ask, given)| {
        let right = given.right.unwrap_or(given.answer);
        in_unit(ask.choices().get(right).map_or("", String::as_str))
    });
    let because = ask.and_then(|(ask, given)| {
        let because = ask.because_of(given.right.unwrap_or(given.answer))?.to_owned();
        Some(view! { <Markdown text=because /> })
    });
    view! {
        <tr data-testid=format!("answer-row-{number}")>
            <th scope="row">
                {format!("{number}. {}", stage.title)} <div class="asked">{asked}</div>
            </th>
            <td>
                <b class="right-answer">{answer}</b>
                {because}
            </td>
            <td>
                <Markdown text=shown />
            </td>
        </tr>
    }
}
