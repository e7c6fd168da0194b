//! Lessons that an instructor wrote: read, kept in this browser, removed, brought back.

use crate::app::i18n::{Key, format, text};
use crate::app::storage;
use crate::app::workspace::Workspace;
use leptos::prelude::*;
use nudgeproof::lesson::{Lesson, lesson};
use std::sync::Arc;

/// The texts of the lessons from disk, as a list in JSON.
const STORED: &str = "lessons";
/// Beginning of the names under which `src/app/boot.js` puts such lists aside.
const ASIDE: &str = "lessons.aside";

/// Whether this is the text of the lesson of this name. Of a text that cannot be read it is not known:
/// a later version of the program may have written it.
fn is_named(text: &str, name: &str) -> bool {
    Lesson::from_toml(text).is_ok_and(|lesson| lesson.name == name)
}

/// Stores the texts without the lesson of this name, and `more`; false if the browser does not.
fn store_without(name: &str, more: Option<&str>) -> bool {
    storage::replace_texts(STORED, |text| is_named(text, name), more.map(str::to_owned))
}

/// Reads the lessons that are kept in this browser; a session may belong to one of them.
pub(crate) fn read_stored(workspace: Workspace) {
    let lesson = |text: &String| Lesson::from_toml(text).ok().map(Arc::new);
    workspace.own_lessons.set(storage::texts(STORED).iter().flatten().filter_map(lesson).collect());
    if workspace.attempt.read_untracked().is_none() {
        workspace.find_attempt();
    }
}

/// Adds a lesson, in the place of one of the same name, and returns the message for the learner; `file` is the
/// name of its file.
///
/// # Errors
/// Why it is refused, or that it is not stored, in one sentence.
pub(crate) fn add(workspace: Workspace, file: &str, text: &str) -> Result<String, String> {
    let refused = |why: &str| format(Key::LessonRefused, &[file, why]);
    let added = Lesson::from_toml(text).map_err(|e| refused(&e.to_string()))?;
    if lesson(&added.name).is_some() {
        return Err(refused(&format(Key::LessonNameTaken, &[&added.name])));
    }
    let kept = store_without(&added.name, Some(text));
    let title = added.title.clone();
    workspace.own_lessons.update(|all| {
        all.retain(|l| l.name != added.name);
        all.push(Arc::new(added));
    });
    if kept {
        Ok(format(Key::LessonTakenIn, &[&title]))
    } else {
        Err(format(Key::LessonNotStored, &[&title]))
    }
}

/// Removes a lesson from this browser.
pub(super) fn remove(workspace: Workspace, name: &str) {
    if store_without(name, None) {
        workspace.own_lessons.update(|all| all.retain(|l| l.name != name));
    } else {
        workspace.warn(text(Key::LessonNotRemoved).into());
    }
}

/// The lists that a start which did not end has put aside: the name of each, and its texts.
fn aside() -> Vec<(String, Vec<String>)> {
    let list = |name: String| {
        let texts = serde_json::from_str(&storage::setting(&name)?).ok()?;
        Some((name, texts))
    };
    storage::setting_names(ASIDE).into_iter().filter_map(list).collect()
}

/// Whether there are lessons to bring back.
pub(super) fn any_aside() -> bool {
    !aside().is_empty()
}

/// Takes in the lessons that were put aside; of two of one name the one that is here stays. What to
/// say of it.
///
/// # Errors
/// That the browser could not store them, in one sentence; they then stay aside.
pub(super) fn bring_back(workspace: Workspace) -> Result<String, String> {
    let not_stored = || text(Key::LessonsNotBroughtBack).to_owned();
    let mut texts = storage::texts(STORED).ok_or_else(not_stored)?;
    let aside = aside();
    for text in aside.iter().flat_map(|(_, texts)| texts) {
        let name = Lesson::from_toml(text).map(|lesson| lesson.name);
        let is_here = match name {
            Ok(name) => texts.iter().any(|t| is_named(t, &name)),
            Err(_) => texts.contains(text),
        };
        if !is_here {
            texts.push(text.clone());
        }
    }
    let names: Vec<_> = aside.into_iter().map(|(name, _)| name).collect();
    if !storage::set_texts(STORED, &texts, &names) {
        return Err(not_stored());
    }
    read_stored(workspace);
    Ok(text(Key::BroughtBack).into())
}
