//! The link that carries a session: made here, opened here.

mod base64;
mod link;

use super::desk::{Desk, desk};
use super::dom::{View, button, el, several, when};
use super::live::{Var, effect};
use super::place::Place;
use super::screen;
use super::words::{Word, say, tell};
use leptos::prelude::*;
use leptos::task::spawn_local;
use nudgeproof::session::Session;

/// Opens the session that the address carries, now and whenever the address changes. Work that is
/// there is put aside; a link that cannot be opened leaves it alone.
pub(crate) fn open_links(desk: Desk, place: Var<Place>) {
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
                    if desk.replace(session) {
                        desk.tell(say(Word::LinkOpened).into());
                    }
                }
                Err(why) => desk.tell_grave(tell(Word::LinkNotOpened, &[&why])),
            }
        });
    };
    open();
    screen::on_hash_change(open);
}

/// The button that makes the link, and the link for whoever cannot copy it by a button.
pub(crate) fn share() -> View {
    let desk = desk();
    let made = Var::new(String::new());
    let refused = Var::new(String::new());
    // A link to what was is no link to what is.
    effect(move || {
        desk.now.track();
        made.set(String::new());
        refused.set(String::new());
    });
    let make = move || {
        let file = desk.with_session(Session::to_json);
        spawn_local(async move {
            match link::write(&file).await {
                Ok(text) => {
                    let copied = copy(&text).await;
                    // Who has left the page meanwhile has no use for it.
                    made.set(text);
                    desk.tell(say(if copied { Word::LinkCopied } else { Word::LinkSelect }).into());
                }
                Err(why) => {
                    refused.set(why);
                }
            }
        });
    };
    several()
        .child(button("copy-link").click(make).text(Word::CopyLink))
        .child(when(
            move || !made.read().is_empty(),
            move || {
                el("input")
                    .class("link")
                    .attr("type", "text")
                    .attr("readonly", true)
                    .test_id("link")
                    .attr("aria-label", Word::LinkIs)
                    .on("focus", move |e: web_sys::Event| {
                        event_target::<web_sys::HtmlInputElement>(&e).select();
                    })
                    .value(move || made.get())
            },
        ))
        .child(el("span").class("fine").text(Word::LinkNote))
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
