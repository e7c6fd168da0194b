use super::commands::{clear_faults, move_in_secret, next_part, plant};
use super::guesses::guesses;
use super::link::class_link;
use crate::app::controls::{ChosenText, FileButton, Note};
use crate::app::i18n::{Key, format, text};
use crate::app::keys::{CommandButton, KeyCommand, fault_key, shortcuts};
use crate::app::logic::class_setup::ClassSetup;
use crate::app::share::LinkOpener;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use leptos::task::spawn_local;
use nudgeproof::cell::{FAULT_KINDS, FaultKind};

/// What the instructor can do in front of the class. What is chosen, and whether anything is secret, never
/// shows here: the drawer looks the same either way.
#[component]
pub(crate) fn PresenterPanel() -> impl IntoView {
    let (workspace, class, shortcuts) = (workspace(), class_link(), shortcuts());
    let guesses = guesses();
    guesses.listen();
    shortcuts.on(KeyCommand::PlantFault, move || shortcuts.wait_for_fault());
    for (at, kind) in FAULT_KINDS.iter().enumerate() {
        shortcuts.on(KeyCommand::PlantKind(at), move || {
            plant(workspace, kind);
        });
    }
    let act = move |command| match command {
        KeyCommand::MoveInSecret => move_in_secret(workspace),
        KeyCommand::Reveal => class.reveal(),
        KeyCommand::AskWhatIsWrong => guesses.ask_or_go_on(),
        KeyCommand::ClearFaults => clear_faults(workspace),
        _ => next_part(workspace),
    };
    let button = move |command, test_id: &'static str, name| {
        view! {
            <CommandButton
                command
                test_id
                act=move || {
                    act(command);
                }
            >
                {text(name)}
            </CommandButton>
        }
    };
    let links = expect_context::<LinkOpener>();
    let open = move |(name, content): ChosenText| {
        // Another unit draws the place anew, and with it the button whose file is being read here.
        spawn_local(async move {
            let read = content.and_then(|content| ClassSetup::read(&name, &content));
            if let Err(why) = read.and_then(|setup| links.open_setup(setup)) {
                workspace.warn(format(Key::SetupRefused, &[&name, &why]));
            }
        });
    };
    view! {
        <details class="drawer" data-testid="presenter">
            <summary>{text(Key::ForTheClass)}</summary>
            <div class="drawer-body">
                <div class="drawer-row">
                    <button
                        type="button"
                        data-testid="open-class-window"
                        on:click=move |_| class.open_window()
                    >
                        {text(Key::OpenClassWindow)}
                    </button>
                    {button(KeyCommand::MoveInSecret, "move-in-secret", Key::MoveInSecret)}
                </div>
                <div class="drawer-row">
                    {button(KeyCommand::AskWhatIsWrong, "ask-what-is-wrong", Key::AskWhatIsWrong)}
                    {button(KeyCommand::Reveal, "reveal", Key::RevealIt)}
                    {button(KeyCommand::ClearFaults, "clear-faults", Key::ClearFaults)}
                    {button(KeyCommand::NextPart, "next-part", Key::NextPart)}
                </div>
                <div class="drawer-row">
                    <FileButton test_id="open-setup" accept=".toml,.json,application/json" on_read=open>
                        {text(Key::SetupOpenFile)}
                    </FileButton>
                </div>
                <KnownFaults />
                <Note>{text(Key::PresenterNote)}</Note>
            </div>
        </details>
    }
}

/// The faults that are no secret.
#[component]
fn KnownFaults() -> impl IntoView {
    let workspace = workspace();
    let known = move || {
        let state = workspace.state();
        let labels = state.faults_shown().iter().map(|f| f.kind().says);
        labels.map(|label| view! { <li>{label}</li> }).collect_view()
    };
    view! {
        <ul class="known-faults" data-testid="known-faults">
            {known}
        </ul>
    }
}

/// The letter of each fault, for the paper of an instructor.
#[component]
pub(crate) fn FaultKeys() -> impl IntoView {
    let line = |(at, kind): (usize, &FaultKind)| {
        view! {
            <li>
                <b>{fault_key(at)}</b>
                " "
                {kind.says}
            </li>
        }
    };
    view! {
        <section class="fault-keys" data-testid="fault-keys">
            <h2>{text(Key::FaultKeysTitle)}</h2>
            <ul>{FAULT_KINDS.iter().enumerate().map(line).collect_view()}</ul>
        </section>
    }
}
