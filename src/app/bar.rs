//! The bar on top: places, undo and redo, projector, units, theme, help; and the banners
//! about storage.

use super::controls::{Choice, Icon};
use super::help::HelpButton;
use super::i18n::{Key, format, text};
use super::keys::{CommandButton, KeyCommand};
use super::place::Place;
use super::record::download_session;
use super::settings::{Theme, settings};
use super::storage;
use super::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::session::Session;

/// The bar, and the banners under it.
#[component]
pub(crate) fn Bar(place: RwSignal<Place>) -> impl IntoView {
    // On a phone the tools stand behind a button, undo and redo are signs, so that the bar has one row.
    let open = RwSignal::new(false);
    view! {
        <header class="bar" class:open=move || open.get()>
            <p class="mark">
                <svg viewBox="0 0 24 24" aria-hidden="true">
                    <path class="mark-ghost" d="M3 9h11v9H3z" />
                    <path class="mark-part" d="M7.500 6.500l11.500 2l-1.600 9.500l-11.500 -2z" />
                </svg>
                <span>"Nudgeproof"</span>
            </p>
            <nav aria-label=text(Key::Places)>
                {Place::BAR.map(|p| view! {
                    <a
                        href=p.hash()
                        data-testid=format!("go-{}", &p.hash()[2..])
                        aria-current=move || (place.get() == p).then_some("page")
                    >
                        {p.name()}
                    </a>
                })}
            </nav>
            <div class="bar-tools undo-redo">
                <UndoAndRedo place />
            </div>
            <button
                type="button"
                class="menu"
                data-testid="menu"
                aria-expanded=move || open.get().to_string()
                aria-label=text(Key::Menu)
                on:click=move |_| open.update(|open| *open = !*open)
            >
                <Icon d="M2 4h12M2 8h12M2 12h12" />
            </button>
            <div class="bar-tools behind-menu">
                <Appearance />
                <HelpButton />
            </div>
        </header>
        <OtherWork />
        <Unsaved />
        <KeptSimply />
    }
}

#[component]
fn UndoAndRedo(place: RwSignal<Place>) -> impl IntoView {
    let workspace = workspace();
    // They are about the work on the bench, and nothing of that is to be seen beside a part of one's own.
    let elsewhere = move || place.get() == Place::Rehearse;
    view! {
        <CommandButton
            command=KeyCommand::Undo
            test_id="undo"
            disabled=Signal::derive(move || elsewhere() || !workspace.can_undo.get())
            act=move || workspace.undo()
            attr:aria-label=text(Key::Undo)
        >
            <Icon d="M6.500 3.500L3 7l3.500 3.500M3 7h7a3 3 0 0 1 0 6H7.500" />
            <span>{text(Key::Undo)}</span>
        </CommandButton>
        <CommandButton
            command=KeyCommand::Redo
            test_id="redo"
            disabled=Signal::derive(move || elsewhere() || !workspace.can_redo.get())
            act=move || workspace.redo()
            attr:aria-label=text(Key::Redo)
        >
            <Icon d="M9.500 3.500L13 7l-3.500 3.500M13 7H6a3 3 0 0 0 0 6h2.500" />
            <span>{text(Key::Redo)}</span>
        </CommandButton>
    }
}

/// Projector, unit of lengths, theme.
#[component]
fn Appearance() -> impl IntoView {
    let settings = settings();
    view! {
        <CommandButton
            command=KeyCommand::Projector
            test_id="projector"
            act=move || settings.toggle_projector()
            attr:class="only-wide"
            attr:aria-pressed=move || settings.projector().to_string()
        >
            {text(Key::Projector)}
        </CommandButton>
        <span title=text(Key::UnitsNote)>
            <Choice
                name=Key::Units
                options=vec![(false, "units-mm", Key::Mm), (true, "units-in", Key::Inch)]
                value=Signal::derive(move || settings.inches())
                on_choose=move |inches| settings.show_inches(inches)
            />
        </span>
        <Choice
            name=Key::ThemeName
            options=vec![
                (Theme::Paper, "theme-paper", Key::ThemePaper),
                (Theme::Blueprint, "theme-blueprint", Key::ThemeBlueprint),
            ]
            value=Signal::derive(move || settings.theme())
            on_choose=move |theme| settings.show_theme(theme)
        />
    }
}

/// Shown while another window has saved other work: which of the two stays.
#[component]
fn OtherWork() -> impl IntoView {
    let workspace = workspace();
    let take_other = |_| {
        // Loading the page again reads what is stored.
        let _ = window().location().reload();
    };
    view! {
        <Show when=move || workspace.other_work.get()>
            <div class="banner" role="alert" data-testid="other-work">
                <span>{text(Key::OtherWork)}</span>
                <button type="button" data-testid="keep-mine" on:click=move |_| workspace.keep_mine()>
                    {text(Key::KeepMine)}
                </button>
                <button type="button" data-testid="take-other" on:click=take_other>
                    {text(Key::TakeOther)}
                </button>
            </div>
        </Show>
    }
}

/// Shown while the browser does not store the work.
#[component]
fn Unsaved() -> impl IntoView {
    let workspace = workspace();
    view! {
        <Show when=move || workspace.unsaved.get()>
            <div class="banner" role="alert" data-testid="unsaved">
                <span>{text(Key::NotSaved)}</span>
                <SaveFile />
            </div>
        </Show>
    }
}

/// Shown at the start where there is no database, until it is closed.
#[component]
fn KeptSimply() -> impl IntoView {
    let open = RwSignal::new(storage::place() == storage::Place::LocalStorage);
    view! {
        <Show when=move || open.get()>
            <div class="banner" role="alert" data-testid="kept-simply">
                <span>{format(Key::KeptSimply, &[&storage::why_no_database()])}</span>
                <SaveFile />
                <button type="button" data-testid="close-kept-simply" on:click=move |_| open.set(false)>
                    {text(Key::Close)}
                </button>
            </div>
        </Show>
    }
}

/// Saves the work as a file.
#[component]
fn SaveFile() -> impl IntoView {
    let workspace = workspace();
    let save = move |_| download_session(workspace, &workspace.with_truth(Session::to_json));
    view! {
        <button type="button" data-testid="save-file" on:click=save>
            {text(Key::Export)}
        </button>
    }
}
