//! The link that carries a session: made here, opened here.

mod link;
mod open;
mod replace_question;

pub(crate) use open::LinkOpener;
pub(crate) use replace_question::ReplaceQuestion;

use super::i18n::{Key, text};
use super::workspace::workspace;
use leptos::prelude::*;
use leptos::task::spawn_local;
use nudgeproof::session::Session;

/// The button that makes the link, and a field with the link for those who copy it by hand.
#[component]
pub(crate) fn Share() -> impl IntoView {
    let workspace = workspace();
    let link = RwSignal::new(String::new());
    let refusal = RwSignal::new(String::new());
    // A link holds the session as it was when it was made.
    Effect::new(move || {
        workspace.track_session();
        link.set(String::new());
        refusal.set(String::new());
    });
    let make = move |_| {
        let session_file = workspace.with_truth(Session::to_json);
        spawn_local(async move {
            match link::write(&session_file).await {
                Ok(made) => {
                    let copied = copy(&made).await;
                    // The learner may have left this place meanwhile.
                    link.try_set(made);
                    let key = if copied { Key::LinkCopied } else { Key::LinkSelect };
                    workspace.notify(text(key).into());
                }
                Err(why) => {
                    refusal.try_set(why);
                }
            }
        });
    };
    view! {
        <button type="button" data-testid="copy-link" on:click=make>
            {text(Key::CopyLink)}
        </button>
        <Show when=move || !link.read().is_empty()>
            <input
                class="link"
                type="text"
                readonly
                data-testid="link"
                aria-label=text(Key::LinkIs)
                on:focus:target=|event| event.target().select()
                prop:value=link
            />
        </Show>
        <span class="fine">{text(Key::LinkNote)}</span>
        <p class="warning" role="alert" data-testid="link-refused">
            {refusal}
        </p>
    }
}

/// Puts a text on the clipboard, if the browser allows it.
async fn copy(text: &str) -> bool {
    let window = window();
    window.is_secure_context() && window.navigator().clipboard().write_text(text).await.is_ok()
}
