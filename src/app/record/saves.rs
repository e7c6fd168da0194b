//! Work saved under names, in this browser; and the work that made room for other work.

use super::files::{hand_out, take_in};
use crate::app::desk::desk;
use crate::app::dom::{View, button, el, pick, several, typed, when};
use crate::app::live::{Var, fixed};
use crate::app::store::{self, Save};
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::cell::part_by_name;
use nudgeproof::session::Session;
use serde_json::Value;

/// The list, and the field that saves the work on the desk under a name.
pub(super) fn saves() -> View {
    let desk = desk();
    let list = Var::new(store::saves());
    let name = Var::new(desk.peek().part.title.clone());
    // What was deleted or saved over, the newest last.
    let gone = Var::new(Vec::<Save>::new());
    let keep = move |save: Save, told: String| {
        let before = store::find_save(&save.name).filter(|b| b.text != save.text);
        if !store::keep_save(&save) {
            return desk.tell_grave(say(Word::SaveNoRoom).into());
        }
        gone.update(|g| g.extend(before));
        list.set(store::saves());
        desk.tell(told);
    };
    let save = move |event: web_sys::SubmitEvent| {
        event.prevent_default();
        let name = name.get_untracked().trim().to_owned();
        if name.is_empty() {
            return desk.tell_grave(say(Word::SaveNameless).into());
        }
        let told = tell(Word::SavedAs, &[&name]);
        let text = desk.with_session(Session::to_json);
        keep(Save { name, when: store::moment(), text }, told);
    };
    let put_back = move || {
        let mut left = gone.get_untracked();
        if let Some(save) = left.pop() {
            gone.set(left);
            let told = tell(Word::SavePutBack, &[&save.name]);
            keep(save, told);
        }
    };
    let delete = Callback::new(move |save: Save| {
        store::drop_save(&save.name);
        desk.tell(tell(Word::SaveDeleted, &[&save.name]));
        gone.update(|g| g.push(save));
        list.set(store::saves());
    });
    let rename = Callback::new(move |(save, to): (Save, String)| {
        let old = save.name.clone();
        if to.is_empty() || store::find_save(&to).is_some() {
            desk.tell_grave(tell(Word::SaveNotRenamed, &[&old, &to]));
        } else if store::keep_save(&Save { name: to.clone(), ..save }) {
            store::drop_save(&old);
            desk.tell(tell(Word::SaveRenamed, &[&to]));
        } else {
            desk.tell_grave(say(Word::SaveNoRoom).into());
        }
        list.set(store::saves());
    });
    // Read anew whenever other work came onto the desk.
    let asides = move || {
        desk.now.track();
        (0..).map_while(store::aside).map(aside_row).collect::<Vec<_>>()
    };
    el("section")
        .class("saves")
        .test_id("saves")
        .attr("aria-labelledby", "saves-title")
        .child(el("h2").attr("id", "saves-title").text(Word::SavesTitle))
        .child(
            el("form")
                .class("drawer-row")
                .on("submit", save)
                .child(
                    pick(Word::SaveName).child(
                        el("input")
                            .attr("type", "text")
                            .attr("maxlength", "60")
                            .attr("autocomplete", "off")
                            .test_id("save-name")
                            .value(move || name.get())
                            .on("input", move |e: web_sys::Event| name.set(event_target_value(&e))),
                    ),
                )
                .child(el("button").attr("type", "submit").test_id("save").text(Word::SaveIt))
                .child(when(
                    move || !gone.read().is_empty(),
                    move || {
                        button("put-back").click(put_back).text(move || {
                            gone.with(|g| {
                                tell(
                                    Word::SavePutBackAsk,
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
    let stored = fixed(save.clone());
    el("li")
        .test_id("saved")
        .child(
            typed("saved-name", move |text| {
                rename.run((stored.get(), text));
            })
            .class("saved-name")
            .attr("maxlength", "60")
            .attr("aria-label", Word::SaveName)
            .value(save.name.clone()),
        )
        .child(row_rest(save, "open-saved"))
        .child(button("delete-saved").click(move || delete.run(stored.get())).text(Word::Delete))
}

fn aside_row(text: String) -> View {
    let save = Save { name: say(Word::PutAside).into(), when: String::new(), text };
    el("li")
        .test_id("aside")
        .child(el("span").class("saved-name").text(save.name.clone()))
        .child(row_rest(save, "bring-back"))
}

/// What a save holds, and the two things that can be done with any.
fn row_rest(save: Save, open_id: &'static str) -> View {
    let desk = desk();
    let about = [save.when.clone(), about(&save.text)].join(" ");
    let save = fixed(save);
    several()
        .child(el("span").class("fine saved-about").text(about))
        .child(
            button(open_id)
                .click(move || save.with(|s| take_in(desk, &s.name, &s.text)))
                .text(Word::OpenIt),
        )
        .child(
            button("file-saved")
                .click(move || save.with(|s| hand_out(desk, &s.text)))
                .text(Word::AsFile),
        )
}

/// What is in a session file, at a glance.
fn about(text: &str) -> String {
    let Ok(file) = serde_json::from_str::<Value>(text) else {
        return say(Word::SaveUnreadable).into();
    };
    let part = file.get("part");
    let title = match part.and_then(Value::as_str) {
        Some(name) => part_by_name(name).map_or_else(|| name.to_owned(), |p| p.title),
        None => part.and_then(|p| p.get("title")?.as_str()).unwrap_or("–").to_owned(),
    };
    let actions = file.get("actions").and_then(Value::as_array).map_or(0, Vec::len);
    tell(Word::SaveAbout, &[&title, &actions.to_string()])
}
