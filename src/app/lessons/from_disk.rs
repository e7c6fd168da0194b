//! Lessons that an instructor wrote: taken from disk, listed and begun.

use super::course::course;
use super::lesson_card::LessonCard;
use super::own_lessons;
use crate::app::controls::{ChosenText, FileButton, LabelledField, Note};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::class_setup::task_number;
use crate::app::place::Place;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use std::sync::Arc;

/// The message about the file chosen last.
#[derive(Debug, Clone, Default)]
struct Outcome {
    text: String,
    refused: bool,
}

/// The field that loads a lesson, and the lessons that are loaded.
#[component]
pub(super) fn LessonsFromDisk() -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let outcome = RwSignal::new(Outcome::default());
    let load = move |(name, text): ChosenText| {
        let read = text.map_err(|why| format(Key::LessonRefused, &[&name, &why]));
        outcome.set(match read.and_then(|text| own_lessons::add(workspace, &name, &text)) {
            Ok(text) => Outcome { text, refused: false },
            Err(text) => Outcome { text, refused: true },
        });
    };
    let any_aside = RwSignal::new(own_lessons::any_aside());
    let bring_back = move |_| {
        outcome.set(match own_lessons::bring_back(workspace) {
            Ok(text) => Outcome { text, refused: false },
            Err(text) => Outcome { text, refused: true },
        });
        any_aside.set(own_lessons::any_aside());
    };
    let set_class_number = move |typed: String| {
        course.class_number.set(task_number(&typed));
    };
    view! {
        <section class="from-disk" aria-labelledby="from-disk" data-testid="from-disk">
            <div class="section-head">
                <h2 id="from-disk">{text(Key::ForInstructor)}</h2>
                <p>{text(Key::FromDiskLead)}</p>
            </div>
            <div class="files">
                <a class="button" href=Place::AnswerSheet.hash() data-testid="go-answer-sheet">
                    {text(Key::AnswerSheet)}
                </a>
                <FileButton test_id="load-lesson" accept=".toml" on_read=load>
                    {text(Key::LoadLesson)}
                </FileButton>
                <LabelledField name=text(Key::ClassNumber)>
                    <input
                        type="number"
                        min="1"
                        max="999999"
                        step="1"
                        data-testid="class-number"
                        prop:value=move || course.class_number.get().map(|n| n.to_string())
                        on:change:target=move |event| set_class_number(event.target().value())
                    />
                </LabelledField>
            </div>
            <Note>{text(Key::ClassNumberNote)}</Note>
            <Show when=move || any_aside.get()>
                <div class="files">
                    <Note>{text(Key::LessonsAside)}</Note>
                    <button type="button" data-testid="bring-back-lessons" on:click=bring_back>
                        {text(Key::BringBack)}
                    </button>
                </div>
            </Show>
            <p
                role="status"
                class:refused=move || outcome.read().refused
                data-testid="disk-says"
            >
                {move || outcome.read().text.clone()}
            </p>
            <div class="cards">
                <For
                    each=move || workspace.own_lessons.get()
                    // A lesson read anew is another one.
                    key=|lesson| Arc::as_ptr(lesson) as usize
                    let(lesson)
                >
                    <LessonCard lesson=lesson.file().clone() />
                </For>
            </div>
        </section>
    }
}
