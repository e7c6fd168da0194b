//! Lessons that an instructor wrote: read, kept in this browser, forgotten.

use crate::app::i18n::{Key, format};
use crate::app::storage;
use crate::app::workspace::Workspace;
use leptos::prelude::*;
use nudgeproof::lesson::{Lesson, lesson};
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
    let text = storage::setting(KEPT).unwrap_or_default();
    let parsed = js_sys::JSON::parse(&text).ok();
    parsed.and_then(|v| v.dyn_into().ok()).unwrap_or_default()
}

fn keep(texts: &js_sys::Array) {
    let text = js_sys::JSON::stringify(texts).map(String::from).unwrap_or_default();
    storage::set_setting(KEPT, &text);
}

/// Reads the lessons that are kept in this browser; a session may belong to one of them.
pub(crate) fn read_kept(workspace: Workspace) {
    for text in kept().iter().filter_map(|t| t.as_string()) {
        if let Ok(found) = read_lesson(&text) {
            workspace.own_lessons.update(|all| all.push(found));
        }
    }
    if workspace.attempt.read_untracked().is_none() {
        workspace.find_attempt();
    }
}

/// Takes a lesson in: one of the same name from disk gives way to it.
pub(super) fn take_in(workspace: Workspace, name: &str, text: &str) -> Result<String, String> {
    let refused = |why: &str| format(Key::LessonRefused, &[name, why]);
    let found = read_lesson(text).map_err(|e| refused(&e))?;
    if lesson(&found.name).is_some() {
        return Err(refused(&format(Key::LessonNameTaken, &[&found.name])));
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
    workspace.own_lessons.update(|all| {
        all.retain(|l| l.name != found.name);
        all.push(found);
    });
    Ok(format(Key::LessonTakenIn, &[&title]))
}

/// Lets a lesson from disk go.
pub(super) fn forget(workspace: Workspace, name: &str) {
    let texts = js_sys::Array::new();
    for old in kept().iter().filter_map(|t| t.as_string()) {
        if read_lesson(&old).is_ok_and(|l| l.name != name) {
            texts.push(&old.into());
        }
    }
    keep(&texts);
    workspace.own_lessons.update(|all| all.retain(|l| l.name != name));
}
