use super::{clear_faults, move_in_secret, next_part, plant, reveal};
use crate::app::controls::{Group, Note, RowName};
use crate::app::i18n::{Key, text};
use crate::app::keys::{CommandButton, KeyCommand};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::{FAULT_KINDS, FaultKind, fault_kind};

/// What the instructor can do: plant a fault, move the part in secret, reveal, clear, next part.
#[component]
pub(crate) fn PresenterPanel() -> impl IntoView {
    let workspace = workspace();
    let chosen = RwSignal::new(&FAULT_KINDS[0]);
    let concealed = Memo::new(move |_| workspace.state().concealed());
    view! {
        <details class="drawer" data-testid="presenter">
            <summary>
                {text(Key::ForTheClass)}
                <Show when=move || concealed.get()>
                    <span class="secret-sign" data-testid="secret">{text(Key::SecretSign)}</span>
                </Show>
            </summary>
            <div class="drawer-body">
                <Group class="drawer-row" name=text(Key::PlantFault)>
                    <FaultChoice chosen />
                    <CommandButton
                        command=KeyCommand::PlantFault
                        test_id="plant"
                        act=move || plant(workspace, chosen.get_untracked())
                    >
                        {text(Key::PlantFault)}
                    </CommandButton>
                    <CommandButton
                        command=KeyCommand::MoveInSecret
                        test_id="move-in-secret"
                        act=move || move_in_secret(workspace)
                    >
                        {text(Key::MoveInSecret)}
                    </CommandButton>
                </Group>
                <div class="drawer-row">
                    <CommandButton
                        command=KeyCommand::Reveal
                        test_id="reveal"
                        disabled=Signal::derive(move || !concealed.get())
                        act=move || reveal(workspace)
                    >
                        {text(Key::RevealIt)}
                    </CommandButton>
                    <CommandButton
                        command=KeyCommand::ClearFaults
                        test_id="clear-faults"
                        act=move || clear_faults(workspace)
                    >
                        {text(Key::ClearFaults)}
                    </CommandButton>
                    <CommandButton
                        command=KeyCommand::NextPart
                        test_id="next-part"
                        act=move || next_part(workspace)
                    >
                        {text(Key::NextPart)}
                    </CommandButton>
                </div>
                <KnownFaults />
                <Note>{text(Key::PresenterNote)}</Note>
            </div>
        </details>
    }
}

/// Which fault is planted next.
#[component]
fn FaultChoice(chosen: RwSignal<&'static FaultKind>) -> impl IntoView {
    let choose = move |name: String| {
        if let Some(kind) = fault_kind(&name) {
            chosen.set(kind);
        }
    };
    let options = FAULT_KINDS.iter().map(|k| view! { <option value=k.name>{k.says}</option> });
    view! {
        <label class="pick">
            <RowName>{text(Key::FaultIs)}</RowName>
            <select
                data-testid="fault-choice"
                on:change:target=move |event| choose(event.target().value())
                prop:value=move || chosen.get().name
            >
                {options.collect_view()}
            </select>
        </label>
    }
}

/// The faults that are no secret.
#[component]
fn KnownFaults() -> impl IntoView {
    let workspace = workspace();
    let known = move || {
        let state = workspace.state();
        let shown = if state.concealed() { &[][..] } else { &state.faults[..] };
        let labels = shown.iter().map(|f| f.kind().says);
        labels.map(|label| view! { <li>{label}</li> }).collect_view()
    };
    view! {
        <ul class="known-faults" data-testid="known-faults">
            {known}
        </ul>
    }
}
