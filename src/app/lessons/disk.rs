//! Lessons that an instructor wrote: read from disk, kept in this browser, listed and taken.

use super::card::lesson_card;
use super::course::course;
use crate::app::desk::{Desk, desk};
use crate::app::dom::{View, el, note, pick};
use crate::app::live::Var;
use crate::app::logic::number::read;
use crate::app::store::{self, ChosenFile};
use crate::app::words::{Word, tell};
use leptos::prelude::*;
use nudgeproof::lesson::{Lesson, lesson};
use std::sync::Arc;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::wasm_bindgen;

/// The texts of the lessons from disk, as a list in JSON.
const KEPT: &str = "lessons";

#[wasm_bindgen(module = "/src/app/lessons/toml.js")]
extern "C" {
    #[wasm_bindgen(catch)]
    fn toml_to_json(text: &str) -> Result<String, js_sys::Error>;
    fn toml_place(wrong: &str) -> Option<String>;
}

/// Reads a lesson, or says in one sentence what is wrong with it and where. Everything on the page
/// that reads one goes through here.
fn read_lesson(text: &str) -> Result<Lesson, String> {
    let json = toml_to_json(text).map_err(|e| String::from(e.message()))?;
    Lesson::from_json(&json).map_err(|e| {
        let wrong = e.to_string();
        match toml_place(&wrong) {
            Some(place) => format!("{place}: {wrong}"),
            None => wrong,
        }
    })
}

/// The texts that are kept.
fn kept() -> js_sys::Array {
    let text = store::setting(KEPT).unwrap_or_default();
    let parsed = js_sys::JSON::parse(&text).ok();
    parsed.and_then(|v| v.dyn_into().ok()).unwrap_or_default()
}

fn keep(texts: &js_sys::Array) {
    let text = js_sys::JSON::stringify(texts).map(String::from).unwrap_or_default();
    store::set_setting(KEPT, &text);
}

/// Reads the lessons that are kept in this browser; a session may belong to one of them.
pub(crate) fn read_kept(desk: Desk) {
    for text in kept().iter().filter_map(|t| t.as_string()) {
        if let Ok(found) = read_lesson(&text) {
            desk.own_lessons.update(|all| all.push(found));
        }
    }
    if desk.attempt.read_untracked().is_none() {
        desk.find_attempt();
    }
}

/// Takes a lesson in: one of the same name from disk gives way to it.
fn take_in(desk: Desk, name: &str, text: &str) -> Result<String, String> {
    let refused = |why: &str| tell(Word::LessonRefused, &[name, why]);
    let found = read_lesson(text).map_err(|e| refused(&e))?;
    if lesson(&found.name).is_some() {
        return Err(refused(&tell(Word::LessonNameTaken, &[&found.name])));
    }
    let title = found.title.clone();
    let texts = js_sys::Array::new();
    for old in kept().iter().filter_map(|t| t.as_string()) {
        let same = read_lesson(&old).is_ok_and(|l| l.name == found.name);
        if !same {
            texts.push(&old.into());
        }
    }
    texts.push(&text.into());
    keep(&texts);
    desk.own_lessons.update(|all| {
        all.retain(|l| l.name != found.name);
        all.push(found);
    });
    Ok(tell(Word::LessonTakenIn, &[&title]))
}

/// Load a lesson; those that are loaded.
pub(super) fn from_disk() -> View {
    let (desk, course) = (desk(), course());
    let file = ChosenFile::new();
    let said = Var::new((String::new(), false));
    let load = move |event: web_sys::Event| {
        file.read(&event, move |name, text| {
            let read = text.map_err(|why| tell(Word::LessonRefused, &[name, &why]));
            said.set(match read.and_then(|text| take_in(desk, name, &text)) {
                Ok(text) => (text, false),
                Err(text) => (text, true),
            });
        });
    };
    let cards = move || {
        let own = desk.own_lessons.get();
        let card = |l: Lesson| lesson_card(Arc::new(l), None);
        own.into_iter().map(card).collect::<Vec<_>>()
    };
    el("section")
        .class("from-disk")
        .attr("aria-labelledby", "from-disk")
        .test_id("from-disk")
        .child(el("h2").attr("id", "from-disk").text(Word::FromDisk))
        .child(el("p").class("lead").text(Word::FromDiskLead))
        .child(
            el("div")
                .class("files")
                .child(
                    el("label").class("button").child(el("span").text(Word::LoadLesson)).child(
                        el("input")
                            .class("visually-hidden")
                            .attr("type", "file")
                            .attr("accept", ".toml")
                            .test_id("load-lesson")
                            .on("change", load),
                    ),
                )
                .child(
                    pick(Word::ClassNumber).child(
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
        .child(note().text(Word::ClassNumberNote))
        .child(
            el("p")
                .attr("role", "status")
                .class_if("refused", move || said.read().1)
                .test_id("disk-says")
                .text(move || said.read().0.clone()),
        )
        .child(el("div").class("cards").child(cards))
}

/// Lets a lesson from disk go.
pub(super) fn forget(desk: Desk, name: &str) {
    let texts = js_sys::Array::new();
    for old in kept().iter().filter_map(|t| t.as_string()) {
        if read_lesson(&old).is_ok_and(|l| l.name != name) {
            texts.push(&old.into());
        }
    }
    keep(&texts);
    desk.own_lessons.update(|all| all.retain(|l| l.name != name));
}
