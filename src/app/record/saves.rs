//! Work saved under names, in this browser; and the work that made room for other work.

use super::files::{hand_out, take_in};
use crate::app::dom::{View, button, el, pick, several, typed, when};
use crate::app::i18n::{Key, format, text};
use crate::app::storage::{self, Save};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::part_by_name;
use nudgeproof::session::Session;
use serde_json::Value;

/// The list, and the field that saves the work on the workspace under a name.
pub(super) fn saves() -> View {
    let workspace = workspace();
    let list = RwSignal::new(storage::saves());
    let name = RwSignal::new(workspace.state_untracked().part.title.clone());
    // What was deleted or saved over, the newest last.
    let gone = RwSignal::new(Vec::<Save>::new());
    let keep = move |save: Save, told: String| {
        let before = storage::find_save(&save.name).filter(|b| b.text != save.text);
        if !storage::keep_save(&save) {
            return workspace.warn(text(Key::SaveNoRoom).into());
        }
        gone.update(|g| g.extend(before));
        list.set(storage::saves());
        workspace.notify(told);
    };
    let save = move |event: web_sys::SubmitEvent| {
        event.prevent_default();
        let name = name.get_untracked().trim().to_owned();
        if name.is_empty() {
            return workspace.warn(text(Key::SaveNameless).into());
        }
        let told = format(Key::SavedAs, &[&name]);
        let text = workspace.with_session(Session::to_json);
        keep(Save { name, when: storage::moment(), text }, told);
    };
    let put_back = move || {
        let mut left = gone.get_untracked();
        if let Some(save) = left.pop() {
            gone.set(left);
            let told = format(Key::SavePutBack, &[&save.name]);
            keep(save, told);
        }
    };
    let delete = Callback::new(move |save: Save| {
        storage::drop_save(&save.name);
        workspace.notify(format(Key::SaveDeleted, &[&save.name]));
        gone.update(|g| g.push(save));
        list.set(storage::saves());
    });
    let rename = Callback::new(move |(save, to): (Save, String)| {
        let old = save.name.clone();
        if to.is_empty() || storage::find_save(&to).is_some() {
            workspace.warn(format(Key::SaveNotRenamed, &[&old, &to]));
        } else if storage::keep_save(&Save { name: to.clone(), ..save }) {
            storage::drop_save(&old);
            workspace.notify(format(Key::SaveRenamed, &[&to]));
        } else {
            workspace.warn(text(Key::SaveNoRoom).into());
        }
        list.set(storage::saves());
    });
    // Read anew whenever other work came onto the workspace.
    let asides = move || {
        workspace.track_session();
        (0..).map_while(storage::aside).map(aside_row).collect::<Vec<_>>()
    };
    el("section")
        .class("saves")
        .test_id("saves")
        .attr("aria-labelledby", "saves-title")
        .child(el("h2").attr("id", "saves-title").text(Key::SavesTitle))
        .child(
            el("form")
                .class("drawer-row")
                .on("submit", save)
                .child(
                    pick(Key::SaveName).child(
                        el("input")
                            .attr("type", "text")
                            .attr("maxlength", "60")
                            .attr("autocomplete", "off")
                            .test_id("save-name")
                            .value(move || name.get())
                            .on("input", move |e: web_sys::Event| name.set(event_target_value(&e))),
                    ),
                )
                .child(el("button").attr("type", "submit").test_id("save").text(Key::SaveIt))
                .child(when(
                    move || !gone.read().is_empty(),
                    move || {
                        button("put-back").click(put_back).text(move || {
                            gone.with(|g| {
                                format(
                                    Key::SavePutBackAsk,
                                    &[g.last().map_or("", |s| s.name.as_str())],
                                )
                            })
                        })
                    },
                )),
        )
        .child(
            el("ul")
                .child(move || {
                    list.get().into_iter().map(|s| save_row(s, rename, delete)).collect::<Vec<_>>()
                })
                .child(asides),
        )
}

fn save_row(save: Save, rename: Callback<(Save, String)>, delete: Callback<Save>) -> View {
    let stored = Signal::stored(save.clone());
    el("li")
        .test_id("saved")
        .child(
            typed("saved-name", move |text| {
                rename.run((stored.get(), text));
            })
            .class("saved-name")
            .attr("maxlength", "60")
            .attr("aria-label", Key::SaveName)
            .value(save.name.clone()),
        )
        .child(row_rest(save, "open-saved"))
        .child(button("delete-saved").click(move || delete.run(stored.get())).text(Key::Delete))
}

fn aside_row(file: String) -> View {
    let save = Save { name: text(Key::PutAside).into(), when: String::new(), text: file };
    el("li")
        .test_id("aside")
        .child(el("span").class("saved-name").text(save.name.clone()))
        .child(row_rest(save, "bring-back"))
}

/// What a save holds, and the two things that can be done with any.
fn row_rest(save: Save, open_id: &'static str) -> View {
    let workspace = workspace();
    let about = [save.when.clone(), about(&save.text)].join(" ");
    let save = Signal::stored(save);
    several()
        .child(el("span").class("fine saved-about").text(about))
        .child(
            button(open_id)
                .click(move || save.with(|s| take_in(workspace, &s.name, &s.text)))
                .text(Key::OpenIt),
        )
        .child(
            button("file-saved")
                .click(move || save.with(|s| hand_out(workspace, &s.text)))
                .text(Key::AsFile),
        )
}

/// What is in a session file, at a glance.
fn about(file: &str) -> String {
    let Ok(file) = serde_json::from_str::<Value>(file) else {
        return text(Key::SaveUnreadable).into();
    };
    let part = file.get("part");
    let title = match part.and_then(Value::as_str) {
        Some(name) => part_by_name(name).map_or_else(|| name.to_owned(), |p| p.title),
        None => part.and_then(|p| p.get("title")?.as_str()).unwrap_or("–").to_owned(),
    };
    let actions = file.get("actions").and_then(Value::as_array).map_or(0, Vec::len);
    format(Key::SaveAbout, &[&title, &actions.to_string()])
}
