//! Part files out and in, the link, and the parts that are kept in this browser.

use super::outline_dialog::OpenDrawing;
use super::rehearsal::Rehearsal;
use crate::app::controls::{ChosenText, FileButton, Group, LabelledField, Select};
use crate::app::i18n::{Key, format, text};
use crate::app::kept_parts::KeptPart;
use crate::app::lessons::{PartThumbnail, add_lesson};
use crate::app::record::download;
use crate::app::share::{LinkButton, LinkKind};
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::cell::{Part, own_name_of_part};
use nudgeproof::lesson::{LessonKind, OnPartError, lesson, lesson_files};
use nudgeproof::session::Session;

/// A part file, opened; its name becomes one of the learner's own.
fn read(text: &str) -> Result<Part, String> {
    let mut part = Part::from_toml(text).map_err(|why| why.to_string())?;
    part.name = own_name_of_part(&part.name);
    Ok(part)
}

/// Keeps a part, and says how that went.
fn keep_part(rehearsal: Rehearsal, workspace: Workspace, part: &KeptPart) {
    if rehearsal.keep(part) {
        workspace.notify(format(Key::OwnKept, &[&part.part.title]));
    } else {
        workspace.warn(text(Key::OwnNotKept).into());
    }
}

/// Keep, save, open, and the link.
#[component]
pub(super) fn PartFiles() -> impl IntoView {
    let (rehearsal, workspace) = (Rehearsal::here(), workspace());
    let wrong = move || rehearsal.is_wrong();
    let keep = move |_| {
        let Some(this) = untrack(|| rehearsal.to_keep()) else { return };
        keep_part(rehearsal, workspace, &this);
    };
    let save = move |_| {
        let Some(part) = rehearsal.part.get_untracked() else { return };
        download(workspace, &format!("{}.toml", part.name), &part.to_toml());
    };
    let open = move |(name, content): ChosenText| match content.and_then(|text| read(&text)) {
        Ok(part) => workspace.notify(rehearsal.open(part)),
        Err(why) => workspace.warn(format(Key::OwnRefused, &[&name, &why])),
    };
    let track = move || drop((rehearsal.part.get(), rehearsal.has_taken.get()));
    let content = move || rehearsal.session().as_ref().map(Session::to_json).unwrap_or_default();
    view! {
        <Group class="own-files" name=text(Key::OwnFiles)>
            <button type="button" data-testid="own-keep" disabled=wrong on:click=keep>
                {text(Key::OwnKeep)}
            </button>
            <button type="button" data-testid="own-save" disabled=wrong on:click=save>
                {text(Key::OwnSave)}
            </button>
            <FileButton test_id="own-open" accept=".toml" on_read=open>
                {text(Key::OwnRead)}
            </FileButton>
            <OpenDrawing />
            <Show when=move || !wrong()>
                <LinkButton
                    kind=LinkKind::Session
                    track
                    content
                    say=move |says: String| workspace.notify(says)
                />
            </Show>
            <LessonOnIt />
        </Group>
    }
}

/// A lesson of the course on this part: to the learner's own lessons, or as a file for a class.
#[component]
fn LessonOnIt() -> impl IntoView {
    let (rehearsal, workspace) = (Rehearsal::here(), workspace());
    let chosen = RwSignal::new(FIRST_LESSON.to_owned());
    let lesson = move || {
        let part = rehearsal.part.get_untracked()?;
        let lesson = lesson(&chosen.get_untracked())?;
        let on_it = lesson.file().on_part(&part);
        let refused = |why: OnPartError| {
            let why = match why {
                // Which of its texts or mistakes it is says nothing to who has not written it.
                OnPartError::Lesson(_) => text(Key::OwnLessonOther).to_owned(),
                why => why.to_string(),
            };
            format(Key::OwnLessonNot, &[&lesson.title, &why])
        };
        on_it.map_err(|why| workspace.warn(refused(why))).ok()
    };
    let add = move |_| {
        let Some(file) = lesson() else { return };
        match add_lesson(workspace, &file.name, &file.to_toml()) {
            Ok(says) => workspace.notify(says),
            Err(why) => workspace.warn(why),
        }
    };
    let save = move |_| {
        let Some(file) = lesson() else { return };
        download(workspace, &format!("{}.toml", file.name), &file.to_toml());
    };
    // A shift is made for its own part.
    let all = lesson_files().filter(|file| file.kind != LessonKind::Shift);
    let options: Vec<_> = all.map(|file| (file.name.clone(), file.title.clone())).collect();
    let wrong = move || rehearsal.is_wrong();
    view! {
        <LabelledField name=text(Key::OwnLesson)>
            <Select
                test_id="own-lesson"
                options
                value=chosen
                on_change=move |name| chosen.set(name)
            />
        </LabelledField>
        <button type="button" data-testid="own-lesson-add" disabled=wrong on:click=add>
            {text(Key::OwnLessonAdd)}
        </button>
        <button type="button" data-testid="own-lesson-save" disabled=wrong on:click=save>
            {text(Key::OwnLessonSave)}
        </button>
    }
}

/// The lesson that is chosen at first: the main job.
const FIRST_LESSON: &str = "slide-and-turn";

/// The parts that are kept: opened or removed.
#[component]
pub(super) fn KeptParts() -> impl IntoView {
    let (rehearsal, workspace) = (Rehearsal::here(), workspace());
    let remove = move |kept: &KeptPart| {
        if rehearsal.remove(kept) {
            workspace.notify(format(Key::OwnRemoved, &[&kept.part.title]));
        } else {
            workspace.warn(text(Key::OwnNotRemoved).into());
        }
    };
    let put_back = move |_| {
        let Some(kept) = rehearsal.last_gone() else { return };
        keep_part(rehearsal, workspace, &kept);
    };
    let gone = move || rehearsal.gone.with(|gone| gone.last().map(|kept| kept.part.title.clone()));
    let row = move |kept: KeptPart| {
        let drawn = kept.part.clone();
        let (title, this) = (drawn.title.clone(), kept.clone());
        let open = move |_| workspace.notify(rehearsal.open_kept(kept.clone()));
        view! {
            <li data-testid="own-kept">
                <PartThumbnail part=drawn />
                <button type="button" class="quiet" data-testid="own-open-kept" on:click=open>
                    {title.clone()}
                </button>
                <button
                    type="button"
                    class="quiet"
                    data-testid="own-remove"
                    aria-label=format(Key::OwnRemoveNamed, &[&title])
                    on:click=move |_| remove(&this)
                >
                    {text(Key::OwnRemove)}
                </button>
            </li>
        }
    };
    view! {
        <Show when=move || !rehearsal.kept.read().is_empty()>
            <h2>{text(Key::OwnParts)}</h2>
            <ul class="own-kept">
                <For each=move || rehearsal.kept.get() key=|kept| kept.part.to_toml() children=row />
            </ul>
        </Show>
        <Show when=move || gone().is_some()>
            <button type="button" data-testid="own-put-back" on:click=put_back>
                {move || format(Key::SavePutBackAsk, &[&gone().unwrap_or_default()])}
            </button>
        </Show>
    }
}
