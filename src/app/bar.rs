//! The bar over the sheet: places, undo, files, theme.

use super::desk::{Desk, desk};
use super::dom::{View, button, el, several, svg, when};
use super::help::help;
use super::live::{Var, effect};
use super::logic::number;
use super::place::Place;
use super::record::hand_out;
use super::words::Word;
use super::{screen, store};
use gloo::events::{EventListener, EventListenerOptions};
use leptos::prelude::*;
use nudgeproof::session::Session;
use wasm_bindgen::JsCast;

const THEME: &str = "theme";
const UNITS: &str = "units";

/// Whether lengths are shown in inches. What shows lengths is made anew when it changes.
#[derive(Clone, Copy)]
pub(crate) struct Inches(pub(crate) Var<bool>);

impl Inches {
    /// As stored; metric at first.
    pub(crate) fn stored() -> Self {
        let on = store::setting(UNITS).as_deref() == Some("in");
        number::show_inches(on);
        Self(Var::new(on))
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
pub(crate) fn bar(place: Var<Place>) -> View {
    let desk = desk();
    let inches = expect_context::<Inches>();
    let theme = Var::new(first_theme());
    effect(move || screen::set_root("data-theme", theme.get()));
    let large = Var::new(false);
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
    let turn = move || {
        theme.update(|t| *t = if *t == "paper" { "blueprint" } else { "paper" });
        store::set_setting(THEME, theme.get_untracked());
    };
    several()
        .child(
            el("header")
                .class("bar")
                .child(
                    el("p")
                        .class("mark")
                        .child(
                            svg("svg")
                                .attr("viewBox", "0 0 24 24")
                                .attr("aria-hidden", "true")
                                .child(svg("path").class("mark-ghost").attr("d", "M3 9h11v9H3z"))
                                .child(
                                    svg("path").class("mark-part").attr(
                                        "d",
                                        "M7.500 6.500l11.500 2l-1.600 9.500l-11.500 -2z",
                                    ),
                                ),
                        )
                        .child(el("span").text("Nudgeproof")),
                )
                .child(el("nav").attr("aria-label", Word::Places).child(Place::BAR.map(|p| {
                    el("a")
                        .attr("href", p.hash())
                        .test_id(format!("go-{}", &p.hash()[2..]))
                        .attr("aria-current", move || (place.get() == p).then_some("page"))
                        .text(p.name())
                })))
                .child(
                    el("div")
                        .class("bar-tools")
                        .child(
                            button("undo")
                                .attr("disabled", move || !desk.can_undo.get())
                                .attr("title", "Ctrl+Z")
                                .click(move || desk.undo())
                                .text(Word::Undo),
                        )
                        .child(
                            button("redo")
                                .attr("disabled", move || !desk.can_redo.get())
                                .attr("title", "Ctrl+Y")
                                .click(move || desk.redo())
                                .text(Word::Redo),
                        )
                        .child(
                            button("projector")
                                .class("only-wide")
                                .attr("title", "Alt+P")
                                .attr("aria-pressed", move || large.get().to_string())
                                .click(move || large.update(|l| *l = !*l))
                                .text(Word::Projector),
                        )
                        .child(
                            button("units")
                                .attr("title", Word::UnitsNote)
                                .click(move || inches.turn())
                                .text(
                                    move || {
                                        if inches.0.get() { Word::ToMm } else { Word::ToInches }
                                    },
                                ),
                        )
                        .child(button("theme").click(turn).text(move || {
                            if theme.get() == "paper" { Word::ToBlueprint } else { Word::ToPaper }
                        }))
                        .child(help()),
                ),
        )
        .child(other_work())
        .child(when(
            move || desk.unsaved.get(),
            move || {
                el("div")
                    .class("banner")
                    .attr("role", "alert")
                    .test_id("unsaved")
                    .child(el("span").text(Word::NotSaved))
                    .child(
                        button("save-file")
                            .click(move || hand_out(desk, &desk.with_session(Session::to_json)))
                            .text(Word::Export),
                    )
            },
        ))
}

/// Shown when another window has saved other work: which of the two stays.
fn other_work() -> View {
    let desk = desk();
    when(
        move || desk.other_work.get(),
        move || {
            el("div")
                .class("banner")
                .attr("role", "alert")
                .test_id("other-work")
                .child(el("span").text(Word::OtherWork))
                .child(button("keep-mine").click(move || desk.keep_mine()).text(Word::KeepMine))
                .child(
                    button("take-other")
                        .click(move || {
                            if let Some(window) = web_sys::window() {
                                // Loading the page again reads what is stored.
                                let _ = window.location().reload();
                            }
                        })
                        .text(Word::TakeOther),
                )
        },
    )
}
