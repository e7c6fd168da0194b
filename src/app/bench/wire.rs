use crate::app::controls::{Group, NumberField, RowName};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::describe;
use crate::app::logic::number::length;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::session::Action;

/// The wire: its diameter, length and bend, and the cut that makes it straight again.
#[component]
pub(super) fn WirePanel() -> impl IntoView {
    let workspace = workspace();
    // The stick-out that the next cut leaves, mm: as taught until another one is typed.
    let typed = RwSignal::new(None::<f64>);
    let stick_out = Signal::derive(move || {
        typed.get().unwrap_or_else(|| workspace.state().settings.stick_out_mm)
    });
    let cut = move |_| {
        let stick_out_mm = stick_out.get_untracked();
        if workspace.act_by_hand([Action::CutWire { stick_out_mm }]) {
            workspace.notify(format(Key::WireCutTo, &[&length(stick_out_mm, 1)]));
        }
    };
    view! {
        <Group class="drawer-row" name=text(Key::Wire) test_id="torch-panel">
            <RowName>{text(Key::Wire)}</RowName>
            <output data-testid="wire-is">{move || describe::wire(&workspace.state())}</output>
            <NumberField
                test_id="stick-out"
                label=text(Key::StickOut)
                value=stick_out
                on_commit=move |mm| typed.set(Some(mm))
            />
            <button
                type="button"
                data-testid="cut-wire-to"
                title=text(Key::LocksOutToCut)
                on:click=cut
            >
                {text(Key::CutWireBack)}
            </button>
        </Group>
    }
}
