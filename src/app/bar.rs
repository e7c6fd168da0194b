//! The bar over the sheet: places, undo, files, theme.

use super::desk::{Desk, desk};
use super::help::Help;
use super::logic::number;
use super::place::Place;
use super::record::hand_out;
use super::words::{Word, say};
use super::{screen, store};
use crate::app::live::{effect, when};
use gloo::events::{EventListener, EventListenerOptions};
use leptos::prelude::*;
use nudgeproof::session::Session;
use wasm_bindgen::JsCast;

const THEME: &str = "theme";
const UNITS: &str = "units";

/// Whether lengths are shown in inches. What shows lengths is made anew when it changes.
#[derive(Clone, Copy)]
pub(crate) struct Inches(pub(crate) RwSignal<bool>);

impl Inches {
    /// As stored; metric at first.
    pub(crate) fn stored() -> Self {
        let on = store::setting(UNITS).as_deref() == Some("in");
        number::show_inches(on);
        Self(RwSignal::new(on))
    }

    fn turn(self) {
        let on = !self.0.get_untracked();
        number::show_inches(on);
        store::set_setting(UNITS, number::unit());
        self.0.set(on);
    }
}

/// Keys that work everywhere on the page.
pub(crate) fn shortcuts(desk: Desk) {
    let Some(window) = web_sys::window() else { return };
    let options = EventListenerOptions::enable_prevent_default();
    EventListener::new_with_options(&window, "keydown", options, move |event| {
        let Some(key) = event.dyn_ref::<web_sys::KeyboardEvent>() else { return };
        if !(key.ctrl_key() || key.meta_key()) || key.alt_key() {
            return;
        }
        // In a text field these belong to the text.
        let typing = event.target().is_some_and(|t| {
            t.dyn_ref::<web_sys::HtmlInputElement>().is_some_and(|i| i.type_() == "text")
        });
        if typing {
            return;
        }
        match (key.key().to_ascii_lowercase().as_str(), key.shift_key()) {
            ("z", false) => desk.undo(),
            ("y", _) | ("z", true) => desk.redo(),
            _ => return,
        }
        key.prevent_default();
    })
    .forget();
}

/// Paper or blueprint: as stored, else as the browser prefers.
fn first_theme() -> &'static str {
    match store::setting(THEME).as_deref() {
        Some("blueprint") => "blueprint",
        Some("paper") => "paper",
        _ if screen::matches("(prefers-color-scheme: dark)") => "blueprint",
        _ => "paper",
    }
}

/// The bar.
#[component]
pub(crate) fn Bar(
    /// Where the learner is.
    place: RwSignal<Place>,
) -> impl IntoView {
    let desk = desk();
    let inches = expect_context::<Inches>();
    let theme = RwSignal::new(first_theme());
    effect(move || screen::set_root("data-theme", theme.get()));
    let large = RwSignal::new(false);
    effect(move || {
        screen::set_root("data-projector", if large.get() { "on" } else { "off" });
    });
    if let Some(window) = web_sys::window() {
        EventListener::new(&window, "keydown", move |event| {
            let Some(key) = event.dyn_ref::<web_sys::KeyboardEvent>() else { return };
            let on_sheet = event.target().is_some_and(|t| {
                t.dyn_ref::<web_sys::Element>()
                    .is_some_and(|e| matches!(e.closest(".sheet-holder"), Ok(Some(_))))
            });
            let held = key.ctrl_key() || key.meta_key();
            if key.code() == "KeyP" && !held && (key.alt_key() || on_sheet) {
                large.update(|l| *l = !*l);
            }
        })
        .forget();
    }
    let turn = move |_| {
        theme.update(|t| *t = if *t == "paper" { "blueprint" } else { "paper" });
        store::set_setting(THEME, theme.get_untracked());
    };
    view! {
        <header class="bar">
            <p class="mark">
                <svg viewBox="0 0 24 24" aria-hidden="true">
                    <path class="mark-ghost" d="M3 9h11v9H3z"/>
                    <path class="mark-part" d="M7.500 6.500l11.500 2l-1.600 9.500l-11.500 -2z"/>
                </svg>
                <span>"Nudgeproof"</span>
            </p>
            <nav aria-label=say(Word::Places)>
                {Place::BAR.map(|p| view! {
                    <a href=p.hash() data-testid=format!("go-{}", &p.hash()[2..])
                        aria-current=move || (place.get() == p).then_some("page")>{p.name()}</a>
                })}
            </nav>
            <div class="bar-tools">
                <button type="button" data-testid="undo" disabled=move || !desk.can_undo.get()
                    title="Ctrl+Z" on:click=move |_| desk.undo()>{say(Word::Undo)}</button>
                <button type="button" data-testid="redo" disabled=move || !desk.can_redo.get()
                    title="Ctrl+Y" on:click=move |_| desk.redo()>{say(Word::Redo)}</button>
                <button type="button" class="only-wide" data-testid="projector" title="Alt+P" aria-pressed=move || large.get().to_string()
                    on:click=move |_| large.update(|l| *l = !*l)>{say(Word::Projector)}</button>
                <button type="button" data-testid="units" title=say(Word::UnitsNote) on:click=move |_| inches.turn()>
                    {move || say(if inches.0.get() { Word::ToMm } else { Word::ToInches })}
                </button>
                <button type="button" data-testid="theme" on:click=turn>
                    {move || say(if theme.get() == "paper" { Word::ToBlueprint } else { Word::ToPaper })}
                </button>
                <Help/>
            </div>
        </header>
        <OtherWork/>
        {when(move || desk.unsaved.get(), move || view! {
            <div class="banner" role="alert" data-testid="unsaved">
                <span>{say(Word::NotSaved)}</span>
                <button type="button" data-testid="save-file"
                    on:click=move |_| hand_out(desk, &desk.with_session(Session::to_json))>{say(Word::Export)}</button>
            </div>
        }.into_any())}
    }
}

/// Shown when another window has saved other work: which of the two stays.
#[component]
fn OtherWork() -> impl IntoView {
    let desk = desk();
    view! {
        {when(move || desk.other_work.get(), move || view! {
            <div class="banner" role="alert" data-testid="other-work">
                <span>{say(Word::OtherWork)}</span>
                <button type="button" data-testid="keep-mine" on:click=move |_| desk.keep_mine()>
                    {say(Word::KeepMine)}
                </button>
                <button type="button" data-testid="take-other" on:click=move |_| {
                    if let Some(window) = web_sys::window() {
                        // Loading the page again reads what is stored.
                        let _ = window.location().reload();
                    }
                }>{say(Word::TakeOther)}</button>
            </div>
        }.into_any())}
    }
}
