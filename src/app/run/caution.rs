//! The safety caution: shown once, before the first run.

use crate::app::controls::modal;
use crate::app::i18n::{Key, text};
use crate::app::settings::Settings;
use crate::app::storage;
use leptos::ev::Event;
use leptos::prelude::*;

/// Name of the setting that stores that the caution was read.
const READ: &str = "caution-read";

/// The caution in paragraphs, for the dialog and the record.
pub(crate) fn safety_text() -> [&'static str; 4] {
    [text(Key::Safety1), text(Key::Safety2), text(Key::Safety3), text(Key::Safety4)]
}

/// Whether the caution was read, and what waits for that. A context of the page.
#[derive(Clone, Copy)]
pub(crate) struct Caution {
    settings: Settings,
    read: StoredValue<bool>,
    open: RwSignal<bool>,
    waiting: StoredValue<Option<Box<dyn FnOnce() + Send + Sync>>>,
}

impl Caution {
    pub(crate) fn new(settings: Settings) -> Self {
        Self {
            settings,
            read: StoredValue::new(storage::setting(READ).is_some()),
            open: RwSignal::new(false),
            waiting: StoredValue::new(None),
        }
    }

    /// Runs `then` at once if the caution was read, otherwise opens the dialog and runs it once the
    /// caution has been accepted.
    pub(super) fn before(self, then: impl FnOnce() + Send + Sync + 'static) {
        if self.read.get_value() {
            return then();
        }
        self.waiting.set_value(Some(Box::new(then)));
        self.open.set(true);
    }

    /// Closes the dialog; runs what waited if the caution was accepted.
    fn answer(self, accepted: bool) {
        self.open.set(false);
        let waiting = self.waiting.try_update_value(Option::take).flatten();
        if !accepted {
            return;
        }
        self.read.set_value(true);
        self.settings.store(READ, "yes");
        if let Some(then) = waiting {
            then();
        }
    }
}

/// The dialog.
#[component]
pub(crate) fn CautionDialog() -> impl IntoView {
    let caution = expect_context::<Caution>();
    let dialog = modal(move || caution.open.get());
    view! {
        <dialog
            class="dialog caution"
            data-testid="caution"
            aria-labelledby="caution-title"
            node_ref=dialog
            on:cancel=move |_: Event| caution.answer(false)
        >
            <h2 id="caution-title">{text(Key::SafetyTitle)}</h2>
            {safety_text().map(|paragraph| view! { <p>{paragraph}</p> }).collect_view()}
            <div class="dialog-buttons">
                <button
                    type="button"
                    class="run-button"
                    data-testid="safety-read"
                    on:click=move |_| caution.answer(true)
                >
                    {text(Key::SafetyAccept)}
                </button>
                <button
                    type="button"
                    data-testid="caution-cancel"
                    on:click=move |_| caution.answer(false)
                >
                    {text(Key::Cancel)}
                </button>
            </div>
        </dialog>
    }
    .into_any()
}
