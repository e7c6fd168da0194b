//! Work saved under names, in this browser; and the work that made room for other work.

use super::files::{hand_out, take_in};
use crate::app::desk::desk;
use crate::app::live::when;
use crate::app::store::{self, Save};
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::cell::part_by_name;
use nudgeproof::session::Session;
use serde_json::Value;

/// The list, and the field that saves the work on the desk under a name.
#[component]
pub(super) fn Saves() -> impl IntoView {
    let desk = desk();
    let list = RwSignal::new(store::saves());
    let name = RwSignal::new(desk.peek().part.title.clone());
    // What was deleted or saved over, the newest last.
    let gone = RwSignal::new(Vec::<Save>::new());
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
    let put_back = move |_| {
        if let Some(save) = gone.try_update(Vec::pop).flatten() {
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
        (0..).map_while(store::aside).map(aside_row).collect_view()
    };
    view! {
        <section class="saves" data-testid="saves" aria-labelledby="saves-title">
            <h2 id="saves-title">{say(Word::SavesTitle)}</h2>
            <form class="drawer-row" on:submit=save>
                <label class="pick">
                    <span>{say(Word::SaveName)}</span>
                    <input type="text" maxlength="60" autocomplete="off" data-testid="save-name" bind:value=name/>
                </label>
                <button type="submit" data-testid="save">{say(Word::SaveIt)}</button>
                {when(move || !gone.read().is_empty(), move || view! {
                    <button type="button" data-testid="put-back" on:click=put_back>
                        {move || gone.with(|g| tell(Word::SavePutBackAsk, &[g.last().map_or("", |s| s.name.as_str())]))}
                    </button>
                }.into_any())}
            </form>
            <ul>
                {move || list.get().into_iter().map(|s| save_row(s, rename, delete)).collect_view()}
                {asides}
            </ul>
        </section>
    }
}

fn save_row(
    save: Save,
    rename: Callback<(Save, String)>,
    delete: Callback<Save>,
) -> impl IntoView + use<> {
    let stored = StoredValue::new(save.clone());
    view! {
        <li data-testid="saved">
            <input type="text" class="saved-name" maxlength="60" autocomplete="off" data-testid="saved-name"
                aria-label=say(Word::SaveName) prop:value=save.name.clone()
                on:change:target=move |e| rename.run((stored.get_value(), e.target().value().trim().to_owned()))/>
            {row_rest(save, "open-saved")}
            <button type="button" data-testid="delete-saved" on:click=move |_| delete.run(stored.get_value())>
                {say(Word::Delete)}
            </button>
        </li>
    }
}

fn aside_row(text: String) -> impl IntoView + use<> {
    let save = Save { name: say(Word::PutAside).into(), when: String::new(), text };
    view! {
        <li data-testid="aside">
            <span class="saved-name">{save.name.clone()}</span>
            {row_rest(save, "bring-back")}
        </li>
    }
}

/// What a save holds, and the two things that can be done with any.
fn row_rest(save: Save, open_id: &'static str) -> AnyView {
    let desk = desk();
    let about = [save.when.clone(), about(&save.text)].join(" ");
    let save = StoredValue::new(save);
    view! {
        <span class="fine saved-about">{about}</span>
        <button type="button" data-testid=open_id
            on:click=move |_| save.with_value(|s| take_in(desk, &s.name, &s.text))>{say(Word::OpenIt)}</button>
        <button type="button" data-testid="file-saved"
            on:click=move |_| save.with_value(|s| hand_out(desk, &s.text))>{say(Word::AsFile)}</button>
    }
    .into_any()
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
