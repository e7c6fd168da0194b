//! The help: every gesture and key of the page, behind a button and behind '?'.

use super::i18n::{Key, text};
use super::keys::{self, KeyCommand, Scope, shortcuts};
use super::settings::settings;
use leptos::html::Dialog;
use leptos::prelude::*;

/// The button and the dialog.
#[component]
pub(crate) fn Help() -> impl IntoView {
    let settings = settings();
    let dialog = NodeRef::<Dialog>::new();
    // Some two hundred elements, which no start has to build.
    let asked = RwSignal::new(false);
    let open = move || {
        asked.set(true);
        if let Some(dialog) = dialog.get_untracked().filter(|d| !d.open()) {
            // It is in the page and closed: opening it cannot fail.
            let _ = dialog.show_modal();
        }
    };
    let close = move |_| {
        if let Some(dialog) = dialog.get_untracked() {
            dialog.close();
        }
    };
    shortcuts().on(KeyCommand::Help, open);
    view! {
        <button
            type="button"
            data-testid="help"
            title=move || settings.single_keys().then(|| keys::tooltip(KeyCommand::Help))
            aria-keyshortcuts=move || settings.single_keys().then(|| keys::aria(KeyCommand::Help))
            on:click=move |_| open()
        >
            {text(Key::Help)}
        </button>
        <dialog
            node_ref=dialog
            class="dialog help"
            data-testid="help-sheet"
            aria-labelledby="help-title"
        >
            // The focus goes here, so that the help opens at its top.
            <h2 id="help-title" tabindex="-1" autofocus>{text(Key::HelpTitle)}</h2>
            <Show when=move || asked.get()>
                <dl>
                    <Gestures />
                    {Scope::ALL.map(|scope| view! { <ScopeKeys scope /> })}
                </dl>
            </Show>
            <label class="check">
                <input
                    type="checkbox"
                    data-testid="help-key"
                    on:change:target=move |event| settings.set_single_keys(event.target().checked())
                    prop:checked=move || settings.single_keys()
                />
                <span>{text(Key::SingleKeys)}</span>
            </label>
            <div class="dialog-buttons">
                <button type="button" data-testid="help-close" class="run-button" on:click=close>
                    {text(Key::Close)}
                </button>
            </div>
        </dialog>
    }
}

/// What can be done on the plan with a mouse or a finger.
#[component]
fn Gestures() -> impl IntoView {
    let gestures = [
        Key::GesturePress,
        Key::GestureArrow,
        Key::GestureSeam,
        Key::GestureDrag,
        Key::GestureCards,
    ];
    view! {
        <div data-testid="gestures">
            <dt>{text(Key::OnThePlan)}</dt>
            {gestures.map(|gesture| view! { <dd>{text(gesture)}</dd> })}
        </div>
    }
}

/// The keys of one scope, and what they do.
#[component]
fn ScopeKeys(scope: Scope) -> impl IntoView {
    let lines = keys::help_lines(scope).into_iter().map(|(chords, what)| {
        let keys = chords
            .into_iter()
            .map(|c| view! { <kbd data-testid=c.aria()>{c.help_label()}</kbd> " " })
            .collect_view();
        view! { <dd>{keys} {what}</dd> }
    });
    view! {
        <div data-testid=scope.id()>
            <dt>{text(scope.title())}</dt>
            {lines.collect_view()}
        </div>
    }
}
