//! The link that carries a session or the set-up of a class: made here, opened here.

mod link;
mod open;
mod replace_question;

pub(crate) use link::LinkKind;
pub(crate) use open::LinkOpener;
pub(crate) use replace_question::ReplaceQuestion;

use super::i18n::{Key, text};
use super::workspace::workspace;
use leptos::prelude::*;
use leptos::task::spawn_local;
use nudgeproof::session::Session;

/// The link to the session, as it is when the link is made.
#[component]
pub(crate) fn Share() -> impl IntoView {
    let workspace = workspace();
    view! {
        <LinkButton
            kind=LinkKind::Session
            track=move || workspace.track_session()
            content=move || workspace.with_truth(Session::to_json)
            say=move |says: String| workspace.notify(says)
        />
        <span class="fine">{text(Key::LinkNote)}</span>
    }
}

/// The button that makes a link, and a field with the link for those who copy it by hand.
#[component]
pub(crate) fn LinkButton(
    kind: LinkKind,
    /// Tracks what the link is about: when that changes, the link is gone.
    track: impl Fn() + Send + Sync + 'static,
    /// The file that the link carries, as it is when the link is made.
    content: impl Fn() -> String + Send + Sync + 'static,
    /// Says what became of it.
    #[prop(into)]
    say: Callback<String>,
) -> impl IntoView {
    let link = RwSignal::new(String::new());
    let refusal = RwSignal::new(String::new());
    Effect::new(move || {
        track();
        link.set(String::new());
        refusal.set(String::new());
    });
    let make = move |_| {
        let file = content();
        spawn_local(async move {
            match link::write(kind, &file).await {
                Ok(made) => {
                    let copied = copy(&made).await;
                    // The learner may have left this place meanwhile.
                    link.try_set(made);
                    let key = if copied { Key::LinkCopied } else { Key::LinkSelect };
                    say.try_run(text(key).into());
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
