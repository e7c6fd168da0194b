//! The help: every gesture and key of the page, behind a button and behind '?'.

use super::i18n::{Key, text};
use super::keys::{self, KeyCommand, Scope, shortcuts};
use super::settings::settings;
use leptos::html::Dialog;
use leptos::prelude::*;

/// The dialog of the help, which the button and the key open.
#[derive(Clone, Copy, Default)]
pub(crate) struct HelpSheet {
    dialog: NodeRef<Dialog>,
    /// Some two hundred elements, which no start has to build.
    asked: RwSignal<bool>,
}

impl HelpSheet {
    fn open(self) {
        self.asked.set(true);
        if let Some(dialog) = self.dialog.get_untracked().filter(|d| !d.open()) {
            // It is in the page and closed: opening it cannot fail.
            let _ = dialog.show_modal();
        }
    }

    fn close(self) {
        if let Some(dialog) = self.dialog.get_untracked() {
            dialog.close();
        }
    }
}

/// The button.
#[component]
pub(crate) fn HelpButton() -> impl IntoView {
    let (settings, sheet) = (settings(), expect_context::<HelpSheet>());
    view! {
        <button
            type="button"
            data-testid="help"
            title=move || settings.single_keys().then(|| keys::tooltip(KeyCommand::Help))
            aria-keyshortcuts=move || settings.single_keys().then(|| keys::aria(KeyCommand::Help))
            on:click=move |_| sheet.open()
        >
            {text(Key::Help)}
        </button>
    }
}

/// The dialog. It stands beside the bar, which a projector and a folded menu leave out.
#[component]
pub(crate) fn HelpDialog() -> impl IntoView {
    let (settings, sheet) = (settings(), expect_context::<HelpSheet>());
    shortcuts().on(KeyCommand::Help, move || sheet.open());
    view! {
        <dialog
            node_ref=sheet.dialog
            class="dialog help"
            data-testid="help-sheet"
            aria-labelledby="help-title"
        >
            // The focus goes here, so that the help opens at its top.
            <h2 id="help-title" tabindex="-1" autofocus>{text(Key::HelpTitle)}</h2>
            <Show when=move || sheet.asked.get()>
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
                <button type="button" data-testid="help-close" class="run-button" on:click=move |_| sheet.close()>
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
