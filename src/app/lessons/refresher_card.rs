use super::course::course;
use super::days::today;
use super::lesson_drawing::LessonDrawing;
use crate::app::i18n::{Key, format, text};
use leptos::prelude::*;
use nudgeproof::lesson::{LessonRecord, REFRESHER_MINUTES, due};

/// The refresher: what is due, and the one under way.
#[component]
pub(super) fn RefresherCard() -> impl IntoView {
    let course = course();
    let left = Memo::new(move |_| course.refresher.read().len());
    let go_on = move || match left.get() {
        0 => None,
        left => Some(view! {
            <button
                type="button"
                data-testid="refresher-go-on"
                on:click=move |_| course.go_on_with_refresher()
            >
                {format(Key::RefresherGoOn, &[&left.to_string()])}
            </button>
        }),
    };
    view! {
        <article class="card" data-testid="refresher">
            <LessonDrawing name="refresher" />
            <h3>
                <button
                    type="button"
                    class="card-target"
                    aria-describedby="about-refresher"
                    data-testid="start-refresher"
                    on:click=move |_| course.begin_refresher()
                >
                    {text(Key::Refresher)}
                </button>
            </h3>
            <p class="card-about" id="about-refresher">
                {text(Key::RefresherAbout)}
            </p>
            <p class="card-foot">
                <span>{format(Key::Minutes, &[&REFRESHER_MINUTES.to_string()])}</span>
                <span class="kept" data-testid="refresher-due">
                    {move || due_now(&course.records.read())}
                </span>
            </p>
            <div class="row-tools">{go_on}</div>
        </article>
    }
}

/// The skills that are due, or when the next one is.
fn due_now(records: &[LessonRecord]) -> String {
    if records.is_empty() {
        return text(Key::RefresherNothing).to_owned();
    }
    let today = today();
    let mut practised = due(records, today);
    practised.retain(|due| due.last.is_some());
    let due: Vec<&str> =
        practised.iter().filter(|d| d.due <= today).map(|d| d.skill.label()).collect();
    if !due.is_empty() {
        return format(Key::RefresherDue, &[&due.join(", ")]);
    }
    match practised.iter().map(|d| d.due - today).min() {
        None => text(Key::RefresherNothing).to_owned(),
        Some(1) => text(Key::RefresherTomorrow).to_owned(),
        Some(days) => format(Key::RefresherLater, &[&days.to_string()]),
    }
}
