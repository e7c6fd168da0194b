use super::lesson_drawing::LessonDrawing;
use crate::app::i18n::{Key, format, text};
use crate::app::place::Place;
use leptos::prelude::*;
use nudgeproof::lesson::SHIFT_PARTS;

/// The way to the shift of the day.
#[component]
pub(super) fn ShiftCard() -> impl IntoView {
    view! {
        <article class="card" data-testid="card-shift">
            <LessonDrawing name="shift" />
            <h3>
                <a
                    class="card-target"
                    href=Place::Shift.hash()
                    aria-describedby="about-shift"
                    data-testid="start-shift"
                >
                    {text(Key::TheShift)}
                </a>
            </h3>
            <p class="card-about" id="about-shift">
                {format(Key::ShiftAbout, &[&SHIFT_PARTS.to_string()])}
            </p>
        </article>
    }
}
