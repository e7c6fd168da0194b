use super::course::course;
use super::own_lessons;
use crate::app::controls::Note;
use crate::app::i18n::{Key, format, text};
use crate::app::place::Place;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::lesson::{Lesson, PASS_SCORE};
use std::sync::Arc;

/// A lesson to begin: what it is about, how long it takes, how it went before.
#[component]
pub(super) fn LessonCard(
    lesson: Arc<Lesson>,
    /// Its number in the course, from 0; none for a lesson of one's own.
    #[prop(optional)]
    number: Option<usize>,
) -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let lesson = StoredValue::new(lesson);
    let (name, about, minutes, stages) = lesson
        .with_value(|l| (l.name.clone(), l.about.clone(), l.minutes.to_string(), l.stages.len()));
    let title = lesson.with_value(|l| match number {
        Some(n) => format!("{} · {}", n + 1, l.title),
        None => l.title.clone(),
    });
    let of = stages.to_string();
    let takes = format(Key::LessonTakes, &[&minutes, &of]);
    // Stages done, while this lesson is under way.
    let under_way = Memo::new(move |_| {
        let this = workspace
            .attempt
            .with(|a| a.as_ref().is_some_and(|a| lesson.with_value(|l| a.name == l.name)));
        let standing = course.standing.read();
        (this && !standing.finished()).then_some(standing.done)
    });
    let best_of = Memo::new(move |_| {
        let records = course.records.read();
        let scores: Vec<u8> = lesson.with_value(|l| {
            records.iter().filter(|r| r.lesson == l.name).map(|r| r.score).collect()
        });
        scores.iter().max().map(|best| (*best, scores.len()))
    });
    // One of all the buttons stands out: that of the next lesson to take.
    let is_next = move || {
        under_way.get().is_none()
            && (number.is_none() || course.unpassed.get().is_none_or(|next| Some(next) == number))
    };
    let best = move || {
        best_of.get().map(|(best, attempts)| {
            let passed = best >= PASS_SCORE;
            let key = if passed { Key::LessonPassed } else { Key::LessonTried };
            let best = format(key, &[&best.to_string(), &attempts.to_string()]);
            view! { <p class="kept" class:passed=passed data-testid="kept">{best}</p> }
        })
    };
    let progress = move || {
        let of = of.clone();
        under_way.get().map(move |done| {
            view! {
                <Note>{format(Key::ProgressIs, &[&done.to_string(), &of])}</Note>
                <a class="button go-on run-button" href=Place::Bench.hash()>
                    {text(Key::GoOn)}
                </a>
            }
        })
    };
    let begin = move || {
        text(match (under_way.get(), best_of.get()) {
            (Some(_), _) => Key::BeginAgain,
            (None, Some(_)) => Key::OnceMore,
            (None, None) => Key::Begin,
        })
    };
    let remove = number.is_none().then(|| {
        let name = name.clone();
        view! {
            <button
                type="button"
                data-testid=format!("remove-{name}")
                on:click=move |_| own_lessons::remove(workspace, &name)
            >
                {text(Key::RemoveLesson)}
            </button>
        }
    });
    view! {
        <article class="card" data-testid=format!("card-{name}")>
            <h3>{title}</h3>
            <p>{about}</p>
            <Note>{takes}</Note>
            {best}
            {progress}
            <div class="row-tools">
                <button
                    type="button"
                    class:run-button=is_next
                    data-testid=format!("start-{name}")
                    on:click=move |_| course.begin(&lesson.get_value())
                >
                    {begin}
                </button>
                {remove}
            </div>
        </article>
    }
}
