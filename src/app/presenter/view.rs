use super::faults::Kind;
use super::{clear, move_in_secret, next_part, plant, presenter_keys, reveal};
use crate::app::desk::desk;
use crate::app::dom::{View, button, el, note, row_name, when};
use crate::app::live::Var;
use crate::app::words::{Word, say};
use leptos::prelude::*;

/// Plant, move in secret, reveal, clear, next part.
pub(crate) fn presenter_panel() -> View {
    let desk = desk();
    let chosen = Var::new(Kind::ALL[0]);
    presenter_keys(desk, chosen);
    let concealed = move || desk.state().concealed();
    let known = move || {
        let state = desk.state();
        let shown = if state.concealed() { &[][..] } else { &state.faults[..] };
        shown.iter().map(|f| el("li").text(say(Kind::of(f).word()))).collect::<Vec<_>>()
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
        .child(el("summary").text(Word::ForTheClass).child(when(concealed, || {
            el("span").class("secret-sign").test_id("secret").text(Word::SecretSign)
        })))
        .child(
            el("div")
                .class("drawer-body")
                .child(
                    el("div")
                        .class("drawer-row")
                        .group(Word::PlantFault)
                        .child(
                            el("label").class("pick").child(row_name(Word::FaultIs)).child(
                                el("select")
                                    .test_id("fault-choice")
                                    .on("change", choose)
                                    .children(Kind::ALL.map(|k| {
                                        el("option").attr("value", k.name()).text(say(k.word()))
                                    }))
                                    .value(move || chosen.get().name()),
                            ),
                        )
                        .child(
                            button("plant")
                                .attr("title", "F")
                                .click(move || plant(desk, chosen.get_untracked()))
                                .text(Word::PlantFault),
                        )
                        .child(
                            button("move-in-secret")
                                .attr("title", "M")
                                .click(move || move_in_secret(desk))
                                .text(Word::MoveInSecret),
                        ),
                )
                .child(
                    el("div")
                        .class("drawer-row")
                        .child(
                            button("reveal")
                                .attr("title", "R")
                                .attr("disabled", move || !concealed())
                                .click(move || reveal(desk))
                                .text(Word::RevealIt),
                        )
                        .child(
                            button("clear-faults")
                                .attr("title", "C")
                                .click(move || clear(desk))
                                .text(Word::ClearFaults),
                        )
                        .child(
                            button("next-part")
                                .attr("title", "N")
                                .click(move || next_part(desk))
                                .text(Word::NextPart),
                        ),
                )
                .child(el("ul").class("known-faults").test_id("known-faults").child(known))
                .child(note().text(Word::PresenterNote)),
        )
}
