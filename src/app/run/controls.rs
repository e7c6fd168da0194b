use super::caution::Caution;
use super::start::{announce_end, start};
use super::time_line::TimeLine;
use crate::app::controls::{Choice, Group, Icon, LabelledField, Select, StateOf};
use crate::app::i18n::{Key, text};
use crate::app::keys::{CommandButton, KeyCommand, aria, shortcuts, tooltip};
use crate::app::lessons::course;
use crate::app::logic::number::read;
use crate::app::logic::playback::{Playback, RATE, RATES};
use crate::app::panels::panels;
use crate::app::screen;
use crate::app::workspace::workspace;
use leptos::html::Button;
use leptos::prelude::*;
use nudgeproof::routine::RunSpeed;
use nudgeproof::session::{Action, CellState};
use web_sys::HtmlButtonElement;

/// Run, one step, pause; the time line; reference flag, speed and arc of the next run.
#[component]
pub(crate) fn RunBar() -> impl IntoView {
    let workspace = workspace();
    let paused = Memo::new(move |_| workspace.state().paused.is_some());
    let unfinished = Memo::new(move |_| workspace.playback.beat().is_some_and(|p| p.t < p.until));
    view! {
        <Group
            class="run-bar"
            name=text(Key::Run)
            test_id="run-bar"
            attr:data-plays=move || unfinished.get().then_some("yes")
        >
            <div class="run-buttons">
                <StartButtons paused unfinished />
                <EndButtons paused unfinished />
            </div>
            <TimeLine />
            <div class="run-switches">
                <ReferenceSwitch />
                <SpeedChoice />
                <ArcSwitch />
            </div>
        </Group>
    }
    .into_any()
}

/// Starts the routine, or goes on with it: all of it, or one step.
#[component]
fn StartButtons(
    /// Whether a run waits between two steps.
    paused: Memo<bool>,
    /// Whether the run on show is not at its end.
    unfinished: Memo<bool>,
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
    let (run, pause) = (NodeRef::<Button>::new(), NodeRef::<Button>::new());
    hand_focus_on(run, pause, unfinished);
    view! {
        <PauseButton unfinished node=pause />
        <button
            type="button"
            class="run-button"
            class:behind=unfinished
            node_ref=run
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
            class="quiet"
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

/// One of the two buttons takes the place of the other: the focus, if that has it, goes along.
fn hand_focus_on(run: NodeRef<Button>, pause: NodeRef<Button>, unfinished: Memo<bool>) {
    Effect::new(move || {
        let (from, to) = if unfinished.get() { (run, pause) } else { (pause, run) };
        let has_it = |button: HtmlButtonElement| screen::has_focus(&button);
        if from.get_untracked().is_some_and(has_it) {
            request_animation_frame(move || {
                if let Some(button) = to.get_untracked() {
                    // Without it the keys of the page still work.
                    let _ = button.focus();
                }
            });
        }
    });
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
            attr:class="state flag"
            attr:role="switch"
            attr:aria-checked=move || on.get().to_string()
        >
            <StateOf
                name=Key::ReferenceFlag
                is=move || if on.get() { Key::On } else { Key::Off }
                means=move || if on.get() { Key::FlagOnMeans } else { Key::FlagOffMeans }
            />
        </CommandButton>
    }
}

/// Pauses the run on show, or plays it on: in the place of the run button.
#[component]
fn PauseButton(
    /// Whether the run on show is not at its end.
    unfinished: Memo<bool>,
    node: NodeRef<Button>,
) -> impl IntoView {
    let workspace = workspace();
    let pause = move |_| {
        workspace.playback.update(|p| {
            if let Some(p) = p {
                p.playing = !p.playing && p.t < p.until;
            }
        });
    };
    let plays = move || workspace.playback.playing();
    let icon = move || if plays() { "M4 3v10M9 3v10" } else { "M4 2.500l9 5.500l-9 5.500z" };
    view! {
        <button
            type="button"
            class="run-button"
            class:behind=move || !unfinished.get()
            node_ref=node
            data-testid="pause"
            on:click=pause
        >
            <Icon d=Signal::derive(icon) path_class="solid" />
            <span>{move || text(if plays() { Key::Pause } else { Key::Play })}</span>
        </button>
    }
}

/// Goes to the end of the run on show; or gives up a run that waits between two steps.
#[component]
fn EndButtons(
    /// Whether a run waits between two steps.
    paused: Memo<bool>,
    /// Whether the run on show is not at its end.
    unfinished: Memo<bool>,
) -> impl IntoView {
    let workspace = workspace();
    let to_end = move |_| {
        workspace.playback.update(|p| {
            if let Some(p) = p {
                *p = Playback::at(p.run, p.until, p.until);
            }
        });
        announce_end(workspace);
    };
    let give_up = move |_| {
        if workspace.act(Action::Abort) {
            workspace.playback.set(None);
            workspace.notify(text(Key::RunGivenUp).into());
        }
    };
    let gives_up = move || paused.get() && !unfinished.get();
    view! {
        <button
            type="button"
            class="quiet to-end"
            class:behind=gives_up
            data-testid="run-end"
            disabled=move || !unfinished.get()
            on:click=to_end
        >
            {text(Key::ToEnd)}
        </button>
        <button
            type="button"
            class="quiet"
            class:behind=move || !gives_up()
            data-testid="abort"
            on:click=give_up
        >
            {text(Key::GiveUp)}
        </button>
    }
}

/// How fast the robot moves in the next run.
#[component]
fn SpeedChoice() -> impl IntoView {
    let speed = workspace().speed;
    let options = vec![
        (RunSpeed::Reduced, "run-reduced", Key::SpeedReduced),
        (RunSpeed::Full, "run-full", Key::SpeedFull),
    ];
    view! { <Choice name=Key::Speed named=true options value=speed on_choose=move |to| speed.set(to) /> }
}

/// Whether the next run welds.
#[component]
fn ArcSwitch() -> impl IntoView {
    let arc = workspace().arc;
    view! {
        <CommandButton
            command=KeyCommand::Arc
            test_id="arc"
            act=move || arc.update(|on| *on = !*on)
            attr:class="state arc"
            attr:role="switch"
            attr:aria-checked=move || arc.get().to_string()
        >
            <StateOf name=Key::Arc is=move || if arc.get() { Key::On } else { Key::Off } />
        </CommandButton>
    }
}

/// Seconds of a run in one second of the viewer's time.
#[component]
pub(crate) fn RateChoice() -> impl IntoView {
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
