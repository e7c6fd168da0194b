use super::course::course;
use super::lesson_drawing::LessonDrawing;
use crate::app::i18n::{Key, format, text};
use leptos::prelude::*;
use nudgeproof::lesson::{TEST_ITEMS, TestTime, test_result};

/// The way to a test of the course. Nobody has to take it.
#[component]
pub(super) fn TestCard(time: TestTime) -> impl IntoView {
    let course = course();
    let (name, about) = match time {
        TestTime::Before => (Key::TestBefore, Key::TestBeforeAbout),
        TestTime::After => (Key::TestAfter, Key::TestAfterAbout),
    };
    let kept = move || {
        let result = test_result(&course.records.read(), time)?;
        let says = format(Key::TestResult, &[&result.right.to_string(), &result.of.to_string()]);
        Some(view! { <span class="kept" data-testid="kept">{says}</span> })
    };
    let about_id = format!("about-test-{}", time.name());
    view! {
        <article class="card" data-testid=format!("card-test-{}", time.name())>
            <LessonDrawing name="test" />
            <h3>
                <button
                    type="button"
                    class="card-target"
                    aria-describedby=about_id.clone()
                    data-testid=format!("start-test-{}", time.name())
                    on:click=move |_| course.begin_test(time)
                >
                    {text(name)}
                </button>
            </h3>
            <p class="card-about" id=about_id>
                {format(about, &[&TEST_ITEMS.to_string()])}
            </p>
            <p class="card-foot">{kept}</p>
        </article>
    }
}
