use super::faults::Kind;
use super::{clear, move_in_secret, next_part, plant, presenter_keys, reveal};
use crate::app::dom::{View, button, el, note, row_name, when};
use crate::app::i18n::{Key, text};
use crate::app::workspace::workspace;
use leptos::prelude::*;

/// Plant, move in secret, reveal, clear, next part.
pub(crate) fn presenter_panel() -> View {
    let workspace = workspace();
    let chosen = RwSignal::new(Kind::ALL[0]);
    presenter_keys(workspace, chosen);
    let concealed = move || workspace.state().concealed();
    let known = move || {
        let state = workspace.state();
        let shown = if state.concealed() { &[][..] } else { &state.faults[..] };
        shown.iter().map(|f| el("li").text(text(Kind::of(f).word()))).collect::<Vec<_>>()
    };
    let choose = move |event: web_sys::Event| {
        let name = event_target_value(&event);
        if let Some(kind) = Kind::ALL.into_iter().find(|k| k.name() == name) {
            chosen.set(kind);
        }
    };
    el("details")
        .class("drawer")
        .test_id("presenter")
        .child(el("summary").text(Key::ForTheClass).child(when(concealed, || {
            el("span").class("secret-sign").test_id("secret").text(Key::SecretSign)
        })))
        .child(
            el("div")
                .class("drawer-body")
                .child(
                    el("div")
                        .class("drawer-row")
                        .group(Key::PlantFault)
                        .child(
                            el("label").class("pick").child(row_name(Key::FaultIs)).child(
                                el("select")
                                    .test_id("fault-choice")
                                    .on("change", choose)
                                    .children(Kind::ALL.map(|k| {
                                        el("option").attr("value", k.name()).text(text(k.word()))
                                    }))
                                    .value(move || chosen.get().name()),
                            ),
                        )
                        .child(
                            button("plant")
                                .attr("title", "F")
                                .click(move || plant(workspace, chosen.get_untracked()))
                                .text(Key::PlantFault),
                        )
                        .child(
                            button("move-in-secret")
                                .attr("title", "M")
                                .click(move || move_in_secret(workspace))
                                .text(Key::MoveInSecret),
                        ),
                )
                .child(
                    el("div")
                        .class("drawer-row")
                        .child(
                            button("reveal")
                                .attr("title", "R")
                                .attr("disabled", move || !concealed())
                                .click(move || reveal(workspace))
                                .text(Key::RevealIt),
                        )
                        .child(
                            button("clear-faults")
                                .attr("title", "C")
                                .click(move || clear(workspace))
                                .text(Key::ClearFaults),
                        )
                        .child(
                            button("next-part")
                                .attr("title", "N")
                                .click(move || next_part(workspace))
                                .text(Key::NextPart),
                        ),
                )
                .child(el("ul").class("known-faults").test_id("known-faults").child(known))
                .child(note().text(Key::PresenterNote)),
        )
}
