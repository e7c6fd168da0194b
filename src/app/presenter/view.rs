use super::faults::Kind;
use super::{clear, move_in_secret, next_part, plant, presenter_keys, reveal};
use crate::app::desk::desk;
use crate::app::words::{Word, say};
use leptos::prelude::*;

/// Plant, move in secret, reveal, clear, next part.
#[component]
pub(crate) fn PresenterPanel() -> impl IntoView {
    let desk = desk();
    let chosen = RwSignal::new(Kind::ALL[0]);
    presenter_keys(desk, chosen);
    let concealed = move || desk.state().concealed();
    let known = move || {
        let state = desk.state();
        let shown = if state.concealed() { &[][..] } else { &state.faults[..] };
        shown.iter().map(|f| view! { <li>{say(Kind::of(f).word())}</li> }).collect_view()
    };
    let choose = move |event: web_sys::Event| {
        let name = event_target_value(&event);
        if let Some(kind) = Kind::ALL.into_iter().find(|k| k.name() == name) {
            chosen.set(kind);
        }
    };
    view! {
        <details class="drawer" data-testid="presenter">
            <summary>
                {say(Word::ForTheClass)}
                <Show when=concealed><span class="secret-sign" data-testid="secret">{say(Word::SecretSign)}</span></Show>
            </summary>
            <div class="drawer-body">
                <div class="drawer-row" role="group" aria-label=say(Word::PlantFault)>
                    <label class="pick">
                        <span class="row-name">{say(Word::FaultIs)}</span>
                        <select data-testid="fault-choice" prop:value=move || chosen.get().name() on:change=choose>
                            {Kind::ALL.map(|k| view! { <option value=k.name()>{say(k.word())}</option> }).collect_view()}
                        </select>
                    </label>
                    <button type="button" data-testid="plant" title="F" on:click=move |_| plant(desk, chosen.get_untracked())>
                        {say(Word::PlantFault)}
                    </button>
                    <button type="button" data-testid="move-in-secret" title="M" on:click=move |_| move_in_secret(desk)>
                        {say(Word::MoveInSecret)}
                    </button>
                </div>
                <div class="drawer-row">
                    <button type="button" data-testid="reveal" title="R" disabled=move || !concealed() on:click=move |_| reveal(desk)>
                        {say(Word::RevealIt)}
                    </button>
                    <button type="button" data-testid="clear-faults" title="C" on:click=move |_| clear(desk)>
                        {say(Word::ClearFaults)}
                    </button>
                    <button type="button" data-testid="next-part" title="N" on:click=move |_| next_part(desk)>
                        {say(Word::NextPart)}
                    </button>
                </div>
                <ul class="known-faults" data-testid="known-faults">{known}</ul>
                <p class="fine">{say(Word::PresenterNote)}</p>
            </div>
        </details>
    }
}
