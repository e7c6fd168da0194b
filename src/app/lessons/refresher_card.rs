use super::course::course;
use super::days::today;
use crate::app::controls::Note;
use crate::app::i18n::{Key, format, text};
use leptos::prelude::*;
use nudgeproof::lesson::{LessonRecord, due};

/// The refresher: what is due, and the one under way.
#[component]
pub(super) fn RefresherCard() -> impl IntoView {
    let course = course();
    let under_way = Memo::new(move |_| !course.refresher.read().is_empty());
    let left = move || course.refresher.read().len().to_string();
    view! {
        <article class="card wide" data-testid="refresher">
            <h2>{text(Key::Refresher)}</h2>
            <p>{text(Key::RefresherAbout)}</p>
            <Note attr:data-testid="refresher-due">{move || due_now(&course.records.read())}</Note>
            <div class="row-tools">
                <Show when=move || under_way.get()>
                    <button
                        type="button"
                        class="run-button"
                        data-testid="refresher-go-on"
                        on:click=move |_| course.go_on_with_refresher()
                    >
                        {move || format(Key::RefresherGoOn, &[&left()])}
                    </button>
                </Show>
                <button
                    type="button"
                    class:run-button=move || !under_way.get() && !course.records.read().is_empty()
                    data-testid="start-refresher"
                    on:click=move |_| course.begin_refresher()
                >
                    {text(Key::RefresherBegin)}
                </button>
            </div>
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
    let days = practised.iter().map(|d| d.due - today).min().unwrap_or(0);
    format(Key::RefresherLater, &[&days.to_string()])
}
