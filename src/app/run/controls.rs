use super::caution::Caution;
use super::start::{announce_end, start};
use crate::app::controls::{Group, Icon, LabelledField, Select, ToggleButton};
use crate::app::i18n::{Key, text};
use crate::app::keys::{CommandButton, KeyCommand, aria, shortcuts, tooltip};
use crate::app::lessons::course;
use crate::app::logic::number::read;
use crate::app::logic::playback::{Playback, RATE, RATES};
use crate::app::panels::panels;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::routine::RunSpeed;
use nudgeproof::session::{Action, CellState};

/// Run, single step, pause; speed and arc of the next run; how fast a run is shown.
#[component]
pub(super) fn RunControls() -> impl IntoView {
    let workspace = workspace();
    let paused = Memo::new(move |_| workspace.state().paused.is_some());
    let give_up = move |_| {
        if workspace.act(Action::Abort) {
            workspace.playback.set(None);
            workspace.notify(text(Key::RunGivenUp).into());
        }
    };
    view! {
        <Group class="controls" name=text(Key::Run) node_ref=panels().run_controls>
            <StartButtons paused />
            <ReferenceSwitch />
            <PlaybackButtons />
            <Show when=move || paused.get()>
                <button type="button" data-testid="abort" on:click=give_up>
                    {text(Key::GiveUp)}
                </button>
            </Show>
            <SpeedChoice />
            <ArcSwitch />
            <RateChoice />
        </Group>
    }
}

/// Starts the routine, or goes on with it: all of it, or one step.
#[component]
fn StartButtons(
    /// Whether a run waits between two steps.
    paused: Memo<bool>,
) -> impl IntoView {
    let (workspace, course, panels) = (workspace(), course(), panels());
    let caution = expect_context::<Caution>();
    // A prediction comes before its run, and nobody may be in the cell.
    let held = Memo::new(move |_| {
        let locked_out = workspace.state().cell_state == CellState::LockedOut;
        let why = if course.standing.read().asks { Key::AnswerFirst } else { Key::IsLockedOut };
        (why == Key::AnswerFirst || locked_out).then(|| text(why))
    });
    let press = move |steps: Option<usize>| {
        caution.before(move || start(workspace, course, panels, steps));
    };
    shortcuts().on(KeyCommand::Run, move || press(None));
    shortcuts().on(KeyCommand::SingleStep, move || press(Some(1)));
    let title = move |command| held.get().map(str::to_owned).or_else(|| tooltip(command));
    view! {
        <button
            type="button"
            class="run-button"
            data-testid="run"
            aria-disabled=move || held.get().map(|_| "true")
            title=move || title(KeyCommand::Run)
            aria-keyshortcuts=aria(KeyCommand::Run)
            on:click=move |_| press(None)
        >
            <Icon d="M4 2.500l9 5.500l-9 5.500z" path_class="solid" />
            <span>{move || text(if paused.get() { Key::GoOn } else { Key::Run })}</span>
        </button>
        <button
            type="button"
            data-testid="run-step"
            aria-disabled=move || held.get().map(|_| "true")
            title=move || title(KeyCommand::SingleStep)
            aria-keyshortcuts=aria(KeyCommand::SingleStep)
            on:click=move |_| press(Some(1))
        >
            {text(Key::SingleStep)}
        </button>
    }
}

/// The reference flag of the controller: whether the next run learns or compares.
#[component]
fn ReferenceSwitch() -> impl IntoView {
    let workspace = workspace();
    let on = Memo::new(move |_| workspace.state().memory.reference_flag);
    let flip = move || {
        let to = !on.get_untracked();
        if workspace.act(Action::SetReference { on: to }) {
            let said = if to { Key::ReferenceNowOn } else { Key::ReferenceNowOff };
            workspace.notify(text(said).into());
        }
    };
    view! {
        <CommandButton
            command=KeyCommand::Reference
            test_id="reference"
            act=flip
            attr:class="flag"
            attr:role="switch"
            attr:aria-checked=move || on.get().to_string()
        >
            <Icon class="flag-sign" d="M4 15V2M4 2.500h9l-2.500 3l2.500 3H4" />
            <span>{move || text(if on.get() { Key::ReferenceOn } else { Key::ReferenceOff })}</span>
        </CommandButton>
    }
}

/// Pauses the run on show, or goes to its end.
#[component]
fn PlaybackButtons() -> impl IntoView {
    let workspace = workspace();
    let unfinished = Memo::new(move |_| workspace.playback.beat().is_some_and(|p| p.t < p.until));
    let pause = move |_| {
        workspace.playback.update(|p| {
            if let Some(p) = p {
                p.playing = !p.playing && p.t < p.until;
            }
        });
    };
    let to_end = move |_| {
        workspace.playback.update(|p| {
            if let Some(p) = p {
                *p = Playback::at(p.run, p.until, p.until);
            }
        });
        announce_end(workspace);
    };
    let pause_name = move || {
        let pauses = workspace.playback.playing() || !unfinished.get();
        text(if pauses { Key::Pause } else { Key::Play })
    };
    view! {
        <button
            type="button"
            data-testid="pause"
            disabled=move || !unfinished.get()
            on:click=pause
        >
            {pause_name}
        </button>
        <button
            type="button"
            data-testid="run-end"
            disabled=move || !unfinished.get()
            on:click=to_end
        >
            {text(Key::ToEnd)}
        </button>
    }
}

/// How fast the robot moves in the next run.
#[component]
fn SpeedChoice() -> impl IntoView {
    let speed = workspace().speed;
    view! {
        <Group class="choice" name=text(Key::Speed)>
            <ToggleButton
                test_id="run-reduced"
                pressed=move || speed.get() == RunSpeed::Reduced
                on:click=move |_| speed.set(RunSpeed::Reduced)
            >
                {text(Key::SpeedReduced)}
            </ToggleButton>
            <ToggleButton
                test_id="run-full"
                pressed=move || speed.get() == RunSpeed::Full
                on:click=move |_| speed.set(RunSpeed::Full)
            >
                {text(Key::SpeedFull)}
            </ToggleButton>
        </Group>
    }
}

/// Whether the next run welds.
#[component]
fn ArcSwitch() -> impl IntoView {
    let arc = workspace().arc;
    view! {
        <button
            type="button"
            class="arc"
            data-testid="arc"
            role="switch"
            aria-checked=move || arc.get().to_string()
            on:click=move |_| arc.update(|on| *on = !*on)
        >
            {move || text(if arc.get() { Key::ArcIsOn } else { Key::ArcIsOff })}
        </button>
    }
}

/// Seconds of a run in one second of the viewer's time.
#[component]
fn RateChoice() -> impl IntoView {
    let rate = workspace().rate;
    let options = RATES.map(|r| (r.to_string(), format!("{r} ×")));
    view! {
        <LabelledField class="pick rate" name=text(Key::ShowAt)>
            <Select
                test_id="rate"
                options=options.to_vec()
                value=move || rate.get().to_string()
                on_change=move |chosen: String| rate.set(read(&chosen).unwrap_or(RATE))
            />
        </LabelledField>
    }
}
