//! The link that carries a session: made here, opened here.

mod base64;
mod link;

use super::dom::{View, button, el, several, when};
use super::i18n::{Key, format, text};
use super::place::Place;
use super::screen;
use super::workspace::{Workspace, workspace};
use leptos::prelude::*;
use leptos::task::spawn_local;
use nudgeproof::session::Session;

/// Opens the session that the address carries, now and whenever the address changes. Work that is
/// there is put aside; a link that cannot be opened leaves it alone.
pub(crate) fn open_links(workspace: Workspace, place: RwSignal<Place>) {
    let open = move || {
        let hash = screen::hash();
        if !link::is_link(&hash) {
            return;
        }
        // Loading the page again is not to open the link again.
        screen::replace_hash(Place::Bench.hash());
        if place.get_untracked() != Place::Bench {
            place.set(Place::Bench);
        }
        spawn_local(async move {
            match link::read(&hash).await {
                Ok(session) => {
                    if workspace.replace(session) {
                        workspace.notify(text(Key::LinkOpened).into());
                    }
                }
                Err(why) => workspace.warn(format(Key::LinkNotOpened, &[&why])),
            }
        });
    };
    open();
    screen::on_hash_change(open);
}

/// The button that makes the link, and the link for whoever cannot copy it by a button.
pub(crate) fn share() -> View {
    let workspace = workspace();
    let made = RwSignal::new(String::new());
    let refused = RwSignal::new(String::new());
    // A link to what was is no link to what is.
    Effect::new(move || {
        workspace.track_session();
        made.set(String::new());
        refused.set(String::new());
    });
    let make = move || {
        let file = workspace.with_session(Session::to_json);
        spawn_local(async move {
            match link::write(&file).await {
                Ok(link) => {
                    let copied = copy(&link).await;
                    // Who has left the page meanwhile has no use for it.
                    made.set(link);
                    workspace.notify(
                        text(if copied { Key::LinkCopied } else { Key::LinkSelect }).into(),
                    );
                }
                Err(why) => {
                    refused.set(why);
                }
            }
        });
    };
    several()
        .child(button("copy-link").click(make).text(Key::CopyLink))
        .child(when(
            move || !made.read().is_empty(),
            move || {
                el("input")
                    .class("link")
                    .attr("type", "text")
                    .attr("readonly", true)
                    .test_id("link")
                    .attr("aria-label", Key::LinkIs)
                    .on("focus", move |e: web_sys::Event| {
                        event_target::<web_sys::HtmlInputElement>(&e).select();
                    })
                    .value(move || made.get())
            },
        ))
        .child(el("span").class("fine").text(Key::LinkNote))
        .child(
            el("p")
                .class("warning")
                .attr("role", "alert")
                .test_id("link-refused")
                .text(move || refused.get()),
        )
}

/// Puts a text on the clipboard, where the browser lets us.
async fn copy(text: &str) -> bool {
    let Some(window) = web_sys::window().filter(web_sys::Window::is_secure_context) else {
        return false;
    };
    window.navigator().clipboard().write_text(text).await.is_ok()
}
