use crate::app::dom::{View, button, el, row_name};
use crate::app::field::NumberField;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::{length, signed_length};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::session::Action;

/// The wire: its diameter, its length, its bend; and the cut that makes it straight again.
pub(super) fn torch_panel() -> View {
    let workspace = workspace();
    // The length the next cut leaves; as taught until another one is typed.
    let typed = RwSignal::new(None::<f64>);
    let stick_out = move || typed.get().unwrap_or_else(|| workspace.state().settings.stick_out_mm);
    let cut = move || {
        let stick_out_mm = untrack(stick_out);
        if workspace.act(Action::CutWire { stick_out_mm }) {
            workspace.notify(format(Key::WireCutTo, &[&length(stick_out_mm, 1)]));
        }
    };
    let is = move || {
        let state = workspace.state();
        let now = state.stick_out_shown();
        let mut text = format(Key::WireIs, &[&length(state.settings.wire_mm, 1), &length(now, 1)]);
        if (now - state.settings.stick_out_mm).abs() > 1e-9 {
            text.push_str(&format(Key::WireTaughtWith, &[&length(state.settings.stick_out_mm, 1)]));
        }
        let bend = state.bend_shown();
        if bend.norm() > 1e-9 {
            text.push_str(&format(
                Key::WireBentBy,
                &[&signed_length(bend.x, 1), &signed_length(bend.y, 1)],
            ));
        }
        text
    };
    el("div")
        .class("drawer-row")
        .group(Key::Wire)
        .test_id("torch-panel")
        .child(row_name(Key::Wire))
        .child(el("output").test_id("wire-is").text(is))
        .child(
            NumberField::new("stick-out", text(Key::StickOut), stick_out, move |v| {
                typed.set(Some(v));
            })
            .view(),
        )
        .child(button("cut-wire-to").click(cut).text(Key::CutWireBack))
}
