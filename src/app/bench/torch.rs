use crate::app::desk::desk;
use crate::app::field::NumberField;
use crate::app::logic::number::{length, signed_length};
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::session::Action;

/// The wire: its diameter, its length, its bend; and the cut that makes it straight again.
#[component]
pub(super) fn TorchPanel() -> impl IntoView {
    let desk = desk();
    // The length the next cut leaves; as taught until another one is typed.
    let typed = RwSignal::new(None::<f64>);
    let stick_out =
        Signal::derive(move || typed.get().unwrap_or_else(|| desk.state().settings.stick_out_mm));
    let cut = move |_| {
        let stick_out_mm = stick_out.get_untracked();
        if desk.act(Action::CutWire { stick_out_mm }) {
            desk.tell(tell(Word::WireCutTo, &[&length(stick_out_mm, 1)]));
        }
    };
    let is = move || {
        let state = desk.state();
        let now = state.stick_out_shown();
        let mut text = tell(Word::WireIs, &[&length(state.settings.wire_mm, 1), &length(now, 1)]);
        if (now - state.settings.stick_out_mm).abs() > 1e-9 {
            text.push_str(&tell(Word::WireTaughtWith, &[&length(state.settings.stick_out_mm, 1)]));
        }
        let bend = state.bend_shown();
        if bend.norm() > 1e-9 {
            text.push_str(&tell(
                Word::WireBentBy,
                &[&signed_length(bend.x, 1), &signed_length(bend.y, 1)],
            ));
        }
        text
    };
    view! {
        <div class="drawer-row" role="group" aria-label=say(Word::Wire) data-testid="torch-panel">
            <span class="row-name">{say(Word::Wire)}</span>
            <output data-testid="wire-is">{is}</output>
            <NumberField label=say(Word::StickOut) value=stick_out commit=move |v| typed.set(Some(v)) test_id="stick-out"/>
            <button type="button" data-testid="cut-wire-to" on:click=cut>{say(Word::CutWireBack)}</button>
        </div>
    }
}
