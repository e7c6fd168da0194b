//! Asks before the session of a link replaces work.

use super::open::{Carried, LinkOpener};
use crate::app::controls::modal;
use crate::app::i18n::{Key, format, text};
use leptos::ev::Event;
use leptos::prelude::*;
use nudgeproof::session::Session;

/// The dialog.
#[component]
pub(crate) fn ReplaceQuestion(links: LinkOpener) -> impl IntoView {
    let dialog = modal(move || links.waiting.read().is_some());
    let about = move || {
        links.waiting.with(|waiting| {
            let carried = waiting.as_ref()?;
            let session = &carried.session;
            if carried.is_own_part() {
                return Some(of_own_part(session));
            }
            if carried.is_setup() {
                return Some(format(Key::SetupAsk, &[&session.header().part.title]));
            }
            let actions = session.actions().iter().filter(|a| !a.in_secret()).count().to_string();
            Some(format(Key::LinkAsk, &[&session.header().part.title, &actions]))
        })
    };
    let of_part = move || links.waiting.with(|w| w.as_ref().is_some_and(Carried::is_own_part));
    let either = move |part, link| text(if of_part() { part } else { link });
    let of_setup = move || links.waiting.with(|w| w.as_ref().is_some_and(Carried::is_setup));
    let title = move || {
        if of_setup() {
            text(Key::SetupAskTitle)
        } else {
            either(Key::RehearsalAskTitle, Key::LinkAskTitle)
        }
    };
    view! {
        <dialog
            class="dialog"
            data-testid="replace-question"
            aria-labelledby="replace-question-title"
            aria-describedby="replace-question-about"
            node_ref=dialog
            on:cancel=move |_: Event| links.keep_work()
        >
            <h2 id="replace-question-title">{title}</h2>
            <div id="replace-question-about">
                <p>{about}</p>
                <p>{text(Key::LinkAskAside)}</p>
            </div>
            // The first button gets the focus: the one that changes nothing.
            <div class="dialog-buttons">
                <button type="button" data-testid="keep-work" on:click=move |_| links.keep_work()>
                    {text(Key::LinkKeepWork)}
                </button>
                <button
                    type="button"
                    class="run-button"
                    data-testid="open-link"
                    on:click=move |_| links.open_waiting()
                >
                    {move || either(Key::RehearseIt, Key::LinkOpenIt)}
                </button>
            </div>
        </dialog>
    }
    .into_any()
}

/// What comes to the bench with a part of the learner's own.
fn of_own_part(session: &Session) -> String {
    let (title, state) = (&session.header().part.title, session.state());
    let [steps, runs] = [state.routine.steps.len(), state.runs.len()];
    match [steps, runs] {
        [0, _] => format(Key::RehearsalAsk, &[title]),
        [_, 0] => format(Key::RehearsalAskSteps, &[title, &steps.to_string()]),
        _ => format(Key::RehearsalAskRuns, &[title, &steps.to_string(), &runs.to_string()]),
    }
}
