//! Lessons that an instructor wrote: taken from disk, listed and begun.

use super::card::lesson_card;
use super::course::course;
use super::own::take_in;
use crate::app::dom::{View, el, note, pick};
use crate::app::i18n::{Key, format};
use crate::app::logic::number::read;
use crate::app::storage::ChosenFile;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::lesson::Lesson;
use std::sync::Arc;

/// Load a lesson; those that are loaded.
pub(super) fn from_disk() -> View {
    let (workspace, course) = (workspace(), course());
    let file = ChosenFile::new();
    let said = RwSignal::new((String::new(), false));
    let load = move |event: web_sys::Event| {
        file.read(&event, move |name, text| {
            let read = text.map_err(|why| format(Key::LessonRefused, &[name, &why]));
            said.set(match read.and_then(|text| take_in(workspace, name, &text)) {
                Ok(text) => (text, false),
                Err(text) => (text, true),
            });
        });
    };
    let cards = move || {
        let own = workspace.own_lessons.get();
        let card = |l: Lesson| lesson_card(Arc::new(l), None);
        own.into_iter().map(card).collect::<Vec<_>>()
    };
    el("section")
        .class("from-disk")
        .attr("aria-labelledby", "from-disk")
        .test_id("from-disk")
        .child(el("h2").attr("id", "from-disk").text(Key::FromDisk))
        .child(el("p").class("lead").text(Key::FromDiskLead))
        .child(
            el("div")
                .class("files")
                .child(
                    el("label").class("button").child(el("span").text(Key::LoadLesson)).child(
                        el("input")
                            .class("visually-hidden")
                            .attr("type", "file")
                            .attr("accept", ".toml")
                            .test_id("load-lesson")
                            .on("change", load),
                    ),
                )
                .child(
                    pick(Key::ClassNumber).child(
                        el("input")
                            .attr("type", "number")
                            .attr("min", "1")
                            .attr("max", "999999")
                            .attr("step", "1")
                            .test_id("class-number")
                            .on("input", move |event: web_sys::Event| {
                                let n = read(&event_target_value(&event)).unwrap_or_default();
                                course.number.set((n >= 1.0).then_some(n as u64));
                            }),
                    ),
                ),
        )
        .child(note().text(Key::ClassNumberNote))
        .child(
            el("p")
                .attr("role", "status")
                .class_if("refused", move || said.read().1)
                .test_id("disk-says")
                .text(move || said.read().0.clone()),
        )
        .child(el("div").class("cards").child(cards))
}
