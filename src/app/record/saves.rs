//! Sessions saved under names, in this browser; and sessions that made room for others.

use super::files::{download_session, open_session};
use crate::app::controls::LabelledField;
use crate::app::i18n::{Key, format, text};
use crate::app::storage::{self, Save};
use crate::app::workspace::{Workspace, workspace};
use leptos::ev::Targeted;
use leptos::prelude::*;
use nudgeproof::cell::part_by_name;
use nudgeproof::session::{Action, SEALED_ACTION, Session};
use serde_json::Value;

/// A save in the list. Its id stays when it is renamed, and so does its row with the focus in it.
#[derive(Debug, Clone, PartialEq)]
struct Row {
    id: usize,
    save: Save,
}

/// The saves as they are stored, and what can be done with them.
#[derive(Clone, Copy)]
struct SaveList {
    workspace: Workspace,
    rows: RwSignal<Vec<Row>>,
    /// What was deleted or saved over, the newest last.
    gone: RwSignal<Vec<Save>>,
}

impl SaveList {
    fn new(workspace: Workspace) -> Self {
        let list = Self { workspace, rows: RwSignal::default(), gone: RwSignal::default() };
        list.read_storage();
        Effect::watch(
            move || workspace.kept_otherwise.get(),
            move |_, _, _| list.read_storage(),
            false,
        );
        list
    }

    /// Shows what is stored; saves that were there keep their ids.
    fn read_storage(self) {
        self.rows.update(|rows| {
            let before = std::mem::take(rows);
            let mut next = before.iter().map(|r| r.id + 1).max().unwrap_or(0);
            rows.extend(storage::saves().into_iter().map(|save| {
                let same = before.iter().find(|r| r.save.name == save.name);
                let id = same.map_or(next, |r| r.id);
                next = next.max(id + 1);
                Row { id, save }
            }));
        });
    }

    /// Stores a save. One of the same name is saved over, and can be put back.
    fn keep(self, save: &Save, message: String) {
        let replaced = storage::find_save(&save.name).filter(|before| before.text != save.text);
        storage::keep_save(save);
        self.gone.update(|gone| gone.extend(replaced));
        self.read_storage();
        self.workspace.notify(message);
    }

    /// Saves the session of the workspace under a name.
    fn keep_session(self, name: &str) {
        if name.is_empty() {
            return self.workspace.warn(text(Key::SaveNameless).into());
        }
        let text = self.workspace.with_truth(Session::to_json);
        let save = Save { name: name.to_owned(), when: storage::moment(), text };
        self.keep(&save, format(Key::SavedAs, &[name]));
    }

    fn put_back(self) {
        let Some(save) = self.gone.try_update(Vec::pop).flatten() else { return };
        self.keep(&save, format(Key::SavePutBack, &[&save.name]));
    }

    fn delete(self, id: usize) {
        let Some(save) = self.find(id) else { return };
        storage::drop_save(&save.name);
        self.workspace.notify(format(Key::SaveDeleted, &[&save.name]));
        self.gone.update(|gone| gone.push(save));
        self.read_storage();
    }

    /// Renames a save; false, and a message, if it keeps its name.
    fn rename(self, id: usize, to: &str) -> bool {
        let Some(save) = self.find(id) else { return false };
        if to.is_empty() || storage::find_save(to).is_some() {
            self.workspace.warn(format(Key::SaveNotRenamed, &[&save.name, to]));
            return false;
        }
        storage::rename_save(&save, to);
        self.rows.update(|rows| {
            if let Some(row) = rows.iter_mut().find(|r| r.id == id) {
                to.clone_into(&mut row.save.name);
            }
        });
        self.read_storage();
        self.workspace.notify(format(Key::SaveRenamed, &[to]));
        true
    }

    fn find(self, id: usize) -> Option<Save> {
        self.rows.read_untracked().iter().find(|r| r.id == id).map(|r| r.save.clone())
    }
}

/// The saves, and the field that saves the session under a name.
#[component]
pub(super) fn Saves() -> impl IntoView {
    let workspace = workspace();
    let list = SaveList::new(workspace);
    let name = RwSignal::new(workspace.state_untracked().part.title.clone());
    let save = move |event: web_sys::SubmitEvent| {
        event.prevent_default();
        list.keep_session(name.read_untracked().trim());
    };
    let last_gone = move || list.gone.with(|gone| gone.last().map(|s| s.name.clone()));
    let put_back = move || format(Key::SavePutBackAsk, &[&last_gone().unwrap_or_default()]);
    // Read anew whenever the session changes: another session may have made room for it.
    let asides = Memo::new(move |_| {
        workspace.track_session();
        (0..).map_while(storage::aside).collect::<Vec<_>>()
    });
    view! {
        <section class="saves" data-testid="saves" aria-labelledby="saves-title">
            <h2 id="saves-title">{text(Key::SavesTitle)}</h2>
            <form class="drawer-row" on:submit=save>
                <LabelledField name=text(Key::SaveName)>
                    <input
                        type="text"
                        maxlength="60"
                        autocomplete="off"
                        data-testid="save-name"
                        bind:value=name
                    />
                </LabelledField>
                <button type="submit" data-testid="save">{text(Key::SaveIt)}</button>
                <Show when=move || !list.gone.read().is_empty()>
                    <button type="button" data-testid="put-back" on:click=move |_| list.put_back()>
                        {put_back}
                    </button>
                </Show>
            </form>
            <ul>
                <For each=move || list.rows.get() key=|row| row.id let(row)>
                    <SaveRow list id=row.id />
                </For>
                {move || asides.get().into_iter().map(|text| view! { <AsideRow text /> }).collect_view()}
            </ul>
        </section>
    }
}

#[component]
fn SaveRow(list: SaveList, id: usize) -> impl IntoView {
    let save = Memo::new(move |_| {
        list.rows.read().iter().find(|r| r.id == id).map(|r| r.save.clone()).unwrap_or_default()
    });
    let name = move || save.read().name.clone();
    let rename = move |event: Targeted<web_sys::Event, web_sys::HtmlInputElement>| {
        let field = event.target();
        if !list.rename(id, field.value().trim()) {
            field.set_value(&save.read_untracked().name);
        }
    };
    view! {
        <li data-testid="saved">
            <input
                type="text"
                autocomplete="off"
                data-testid="saved-name"
                class="saved-name"
                maxlength="60"
                aria-label=text(Key::SaveName)
                prop:value=name
                on:change:target=rename
            />
            <SaveTools save open_id="open-saved" />
            <button type="button" data-testid="delete-saved" on:click=move |_| list.delete(id)>
                {text(Key::Delete)}
            </button>
        </li>
    }
}

/// A session that made room for another one.
#[component]
fn AsideRow(text: String) -> impl IntoView {
    let name = self::text(Key::PutAside);
    let save = Signal::stored(Save { name: name.into(), when: String::new(), text });
    view! {
        <li data-testid="aside">
            <span class="saved-name">{name}</span>
            <SaveTools save open_id="bring-back" />
        </li>
    }
}

/// What a save holds, and the two things that can be done with any.
#[component]
fn SaveTools(
    #[prop(into)] save: Signal<Save>,
    /// Name of the button that opens it, for tests.
    open_id: &'static str,
) -> impl IntoView {
    let workspace = workspace();
    let open = move |_| save.with_untracked(|s| open_session(workspace, &s.name, &s.text));
    let download = move |_| save.with_untracked(|s| download_session(workspace, &s.text));
    view! {
        <span class="fine saved-about">
            {move || save.with(|s| [s.when.clone(), about(&s.text)].join(" "))}
        </span>
        <button type="button" data-testid=open_id on:click=open>
            {text(Key::OpenIt)}
        </button>
        <button type="button" data-testid="file-saved" on:click=download>
            {text(Key::AsFile)}
        </button>
    }
}

/// What is in a session file, at a glance.
fn about(session_file: &str) -> String {
    let Ok(file) = serde_json::from_str::<Value>(session_file) else {
        return text(Key::SaveUnreadable).into();
    };
    let part = file.get("part");
    let title = match part.and_then(Value::as_str) {
        Some(name) => part_by_name(name).map_or_else(|| name.to_owned(), |p| p.title),
        None => part.and_then(|p| p.get("title")?.as_str()).unwrap_or("–").to_owned(),
    };
    let in_secret = |a: &&Value| {
        let open = || serde_json::from_value(Value::clone(a));
        a.get("action").and_then(Value::as_str) == Some(SEALED_ACTION)
            || open().is_ok_and(|action: Action| action.in_secret())
    };
    let actions = file.get("actions").and_then(Value::as_array);
    let actions = actions.map_or(0, |all| all.len() - all.iter().filter(in_secret).count());
    match actions {
        1 => format(Key::SaveAboutOne, &[&title]),
        _ => format(Key::SaveAbout, &[&title, &actions.to_string()]),
    }
}
