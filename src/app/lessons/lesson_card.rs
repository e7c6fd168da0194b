use super::course::course;
use super::lesson_drawing::LessonDrawing;
use super::own_lessons;
use crate::app::i18n::{Key, format, text};
use crate::app::place::Place;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::lesson::{LessonFile, PASS_SCORE};
use std::sync::Arc;

/// A lesson to begin: its drawing, what it is about, how long it takes, how it went before. All of
/// the card is one target; only of a lesson under way it goes on, and a button beside begins again.
#[component]
pub(super) fn LessonCard(
    lesson: Arc<LessonFile>,
    /// Its number in the course, from 0; none for a lesson of one's own.
    #[prop(optional)]
    number: Option<usize>,
) -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let lesson = StoredValue::new(lesson);
    let (name, title, about, minutes, stages) = lesson.with_value(|l| {
        let stages = l.stages.len().to_string();
        let (title, about) = (l.title.clone(), l.about.clone());
        (l.name.clone(), title, about, l.minutes.to_string(), stages)
    });
    // Stages done, while this lesson is under way.
    let under_way = Memo::new(move |_| {
        let this = workspace
            .attempt
            .with(|a| a.as_ref().is_some_and(|a| lesson.with_value(|l| a.name == l.name)));
        let standing = course.standing.read();
        (this && !standing.finished()).then_some(standing.done)
    });
    let best = Memo::new(move |_| {
        let records = course.records.read();
        let of_this =
            |name: &String| records.iter().filter(|r| r.lesson == *name).map(|r| r.score).max();
        lesson.with_value(|l| of_this(&l.name))
    });
    let is_next = move || number.is_some() && course.unpassed.get() == number;
    let kept = move || {
        best.get().map(|best| {
            let passed = best >= PASS_SCORE;
            let key = if passed { Key::LessonPassed } else { Key::LessonTried };
            let says = format(key, &[&best.to_string()]);
            view! {
                <span class="kept" class:passed=passed data-testid="kept">
                    {says}
                </span>
            }
        })
    };
    let progress = move || {
        let of = stages.clone();
        under_way.get().map(move |done| {
            view! { <span class="kept">{format(Key::ProgressIs, &[&done.to_string(), &of])}</span> }
        })
    };
    let about_id = format!("about-{name}");
    let heading = move || match number {
        Some(n) => view! {
            <span>{format!("{} {title}", n + 1)}</span>
        }
        .into_any(),
        None => title.clone().into_any(),
    };
    let start_id = format!("start-{name}");
    let begin = move |_| course.begin(&lesson.get_value());
    let target = {
        let (about_id, start_id) = (about_id.clone(), start_id.clone());
        move || {
            if under_way.get().is_some() {
                return view! {
                    <a class="card-target" href=Place::Bench.hash() aria-describedby=about_id.clone()>
                        {heading()}
                    </a>
                }
                .into_any();
            }
            view! {
                <button
                    type="button"
                    class="card-target"
                    aria-describedby=about_id.clone()
                    data-testid=start_id.clone()
                    on:click=begin
                >
                    {heading()}
                </button>
            }
            .into_any()
        }
    };
    let again = move || {
        under_way.get().map(|_| {
            view! {
                <button type="button" data-testid=start_id.clone() on:click=begin>
                    {text(Key::BeginAgain)}
                </button>
            }
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
        <article class="card" class:next=is_next data-testid=format!("card-{name}")>
            <LessonDrawing name=name.clone() file=lesson.get_value() />
            <h3>{target}</h3>
            <p class="card-about" id=about_id>
                {about}
            </p>
            <p class="card-foot">
                <span>{format(Key::Minutes, &[&minutes])}</span>
                {kept}
                {progress}
            </p>
            <div class="row-tools">{again} {remove}</div>
        </article>
    }
}
