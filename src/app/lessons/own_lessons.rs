//! Lessons that an instructor wrote: read, kept in this browser, removed.

use crate::app::i18n::{Key, format};
use crate::app::storage;
use crate::app::workspace::Workspace;
use leptos::prelude::*;
use nudgeproof::lesson::{Lesson, lesson};
use std::sync::Arc;

/// The texts of the lessons from disk, as a list in JSON.
const STORED: &str = "lessons";

fn stored() -> Vec<String> {
    let text = storage::setting(STORED).unwrap_or_default();
    serde_json::from_str(&text).unwrap_or_default()
}

fn store(texts: &[String]) {
    let text = serde_json::to_string(texts).expect("texts are written as JSON");
    storage::set_setting(STORED, &text);
}

/// The stored texts without the lesson of this name. A text that cannot be read stays: a later
/// version of the program may have written it.
fn stored_without(name: &str) -> Vec<String> {
    let mut texts = stored();
    texts.retain(|text| Lesson::from_toml(text).map_or(true, |lesson| lesson.name != name));
    texts
}

/// Reads the lessons that are kept in this browser; a session may belong to one of them.
pub(crate) fn read_stored(workspace: Workspace) {
    let lessons =
        stored().iter().filter_map(|text| Lesson::from_toml(text).ok().map(Arc::new)).collect();
    workspace.own_lessons.set(lessons);
    if workspace.attempt.read_untracked().is_none() {
        workspace.find_attempt();
    }
}

/// Adds a lesson, in the place of one of the same name, and returns what to say of it; `file` is the
/// name of its file.
///
/// # Errors
/// Why it is refused, in one sentence.
pub(super) fn add(workspace: Workspace, file: &str, text: &str) -> Result<String, String> {
    let refused = |why: &str| format(Key::LessonRefused, &[file, why]);
    let added = Lesson::from_toml(text).map_err(|e| refused(&e.to_string()))?;
    if lesson(&added.name).is_some() {
        return Err(refused(&format(Key::LessonNameTaken, &[&added.name])));
    }
    let mut texts = stored_without(&added.name);
    texts.push(text.to_owned());
    store(&texts);
    let title = added.title.clone();
    workspace.own_lessons.update(|all| {
        all.retain(|l| l.name != added.name);
        all.push(Arc::new(added));
    });
    Ok(format(Key::LessonTakenIn, &[&title]))
}

/// Removes a lesson from this browser.
pub(super) fn remove(workspace: Workspace, name: &str) {
    store(&stored_without(name));
    workspace.own_lessons.update(|all| all.retain(|l| l.name != name));
}
