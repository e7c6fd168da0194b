//! The bar over the sheet: places, undo, files, theme.

use super::controls::is_typing;
use super::dom::{View, button, el, several, svg, when};
use super::help::help;
use super::i18n::Key;
use super::logic::number;
use super::place::Place;
use super::record::hand_out;
use super::workspace::{Workspace, workspace};
use super::{screen, storage};
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
        let on = storage::setting(UNITS).as_deref() == Some("in");
        number::show_inches(on);
        Self(RwSignal::new(on))
    }

    fn turn(self) {
        let on = !self.0.get_untracked();
        number::show_inches(on);
        storage::set_setting(UNITS, number::unit());
        self.0.set(on);
    }
}

/// Keys that work everywhere on the page.
pub(crate) fn shortcuts(workspace: Workspace) {
    let Some(window) = web_sys::window() else { return };
    let options = EventListenerOptions::enable_prevent_default();
    EventListener::new_with_options(&window, "keydown", options, move |event| {
        let Some(key) = event.dyn_ref::<web_sys::KeyboardEvent>() else { return };
        if !(key.ctrl_key() || key.meta_key()) || key.alt_key() {
            return;
        }
        if is_typing(key) {
            return;
        }
        match (key.key().to_ascii_lowercase().as_str(), key.shift_key()) {
            ("z", false) => workspace.undo(),
            ("y", _) | ("z", true) => workspace.redo(),
            _ => return,
        }
        key.prevent_default();
    })
    .forget();
}

/// Paper or blueprint: as stored, else as the browser prefers.
fn first_theme() -> &'static str {
    match storage::setting(THEME).as_deref() {
        Some("blueprint") => "blueprint",
        Some("paper") => "paper",
        _ if screen::matches("(prefers-color-scheme: dark)") => "blueprint",
        _ => "paper",
    }
}

/// The bar.
pub(crate) fn bar(place: RwSignal<Place>) -> View {
    let workspace = workspace();
    let inches = expect_context::<Inches>();
    let theme = RwSignal::new(first_theme());
    Effect::new(move || screen::set_root("data-theme", theme.get()));
    let large = RwSignal::new(false);
    Effect::new(move || {
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
        storage::set_setting(THEME, theme.get_untracked());
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
                .child(el("nav").attr("aria-label", Key::Places).child(Place::BAR.map(|p| {
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
                                .attr("disabled", move || !workspace.can_undo.get())
                                .attr("title", "Ctrl+Z")
                                .click(move || workspace.undo())
                                .text(Key::Undo),
                        )
                        .child(
                            button("redo")
                                .attr("disabled", move || !workspace.can_redo.get())
                                .attr("title", "Ctrl+Y")
                                .click(move || workspace.redo())
                                .text(Key::Redo),
                        )
                        .child(
                            button("projector")
                                .class("only-wide")
                                .attr("title", "Alt+P")
                                .attr("aria-pressed", move || large.get().to_string())
                                .click(move || large.update(|l| *l = !*l))
                                .text(Key::Projector),
                        )
                        .child(
                            button("units")
                                .attr("title", Key::UnitsNote)
                                .click(move || inches.turn())
                                .text(
                                    move || {
                                        if inches.0.get() { Key::ToMm } else { Key::ToInches }
                                    },
                                ),
                        )
                        .child(button("theme").click(turn).text(move || {
                            if theme.get() == "paper" { Key::ToBlueprint } else { Key::ToPaper }
                        }))
                        .child(help()),
                ),
        )
        .child(other_work())
        .child(when(
            move || workspace.unsaved.get(),
            move || {
                el("div")
                    .class("banner")
                    .attr("role", "alert")
                    .test_id("unsaved")
                    .child(el("span").text(Key::NotSaved))
                    .child(
                        button("save-file")
                            .click(move || {
                                hand_out(workspace, &workspace.with_session(Session::to_json))
                            })
                            .text(Key::Export),
                    )
            },
        ))
}

/// Shown when another window has saved other work: which of the two stays.
fn other_work() -> View {
    let workspace = workspace();
    when(
        move || workspace.other_work.get(),
        move || {
            el("div")
                .class("banner")
                .attr("role", "alert")
                .test_id("other-work")
                .child(el("span").text(Key::OtherWork))
                .child(button("keep-mine").click(move || workspace.keep_mine()).text(Key::KeepMine))
                .child(
                    button("take-other")
                        .click(move || {
                            if let Some(window) = web_sys::window() {
                                // Loading the page again reads what is stored.
                                let _ = window.location().reload();
                            }
                        })
                        .text(Key::TakeOther),
                )
        },
    )
}
