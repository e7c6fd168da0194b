//! A reveal as a scene: the part as it was believed to lie goes to where it lies, then the planted faults
//! are named one after the other.

use super::secrets::Secrets;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::playback::Playback;
use crate::app::screen;
use crate::app::workspace::{Workspace, workspace};
use gloo::timers::callback::Timeout;
use leptos::prelude::*;
use nudgeproof::cell::{Fault, FaultKind};
use nudgeproof::geometry::Pose;
use nudgeproof::routine::RunLog;

/// How long the part takes to where it lies, and then each fault before the next, ms: as long as it takes
/// to read.
const MOVES: u32 = 2400;
const NAMES: u32 = 2600;

/// What was kept secret, as it is shown.
#[derive(Debug, Clone)]
pub(crate) struct Revealed {
    /// Where the part was believed to lie and where it lies, `work_from_part`, if these differ.
    pub(crate) moved: Option<[Pose; 2]>,
    faults: Vec<&'static FaultKind>,
    /// The true place in words.
    place: Option<String>,
    /// The last run, from 0, if anything of it was so then.
    run: Option<usize>,
}

/// The scene of the last reveal. It ends with the next action.
#[derive(Clone, Copy)]
pub(crate) struct RevealScene {
    workspace: Workspace,
    pub(crate) revealed: RwSignal<Option<Revealed>>,
    /// How many of the faults have been named.
    named: RwSignal<usize>,
    next: StoredValue<Option<Timeout>, LocalStorage>,
}

impl RevealScene {
    pub(crate) fn new(workspace: Workspace) -> Self {
        let scene = Self {
            workspace,
            revealed: RwSignal::new(None),
            named: RwSignal::new(0),
            next: StoredValue::new_local(None),
        };
        Effect::new(move |before: Option<()>| {
            workspace.track_session();
            if before.is_some() {
                scene.end();
            }
        });
        scene
    }

    /// Begins once the session tells everything. `secrets` is what was kept until now, `believed` where the
    /// part was believed to lie.
    pub(super) fn begin(self, secrets: &Secrets, believed: Pose) {
        let revealed = Revealed {
            moved: secrets.moved.as_ref().map(|(part, _)| [believed, *part]),
            faults: secrets.faults.iter().map(Fault::kind).collect(),
            place: secrets.place_in_words(),
            run: self.workspace.with_truth(|session| {
                let runs = &session.state().run_contexts;
                runs.last().filter(|run| secrets.in_run(run)).map(|_| runs.len() - 1)
            }),
        };
        let wait = if revealed.moved.is_some() { MOVES } else { 0 };
        let all = revealed.faults.len();
        let scene = self;
        // The reveal is an action too: the scene begins after what ends the one before.
        screen::after_paint(move || {
            scene.revealed.set(Some(revealed));
            scene.named.set(if screen::less_motion() { all } else { 0 });
            scene.name_next(wait);
        });
    }

    fn name_next(self, wait: u32) {
        let left = self.revealed.with_untracked(|r| {
            r.as_ref().is_some_and(|r| self.named.get_untracked() < r.faults.len())
        });
        let name = move || {
            self.named.update(|n| *n += 1);
            self.name_next(NAMES);
        };
        self.next.set_value(left.then(|| Timeout::new(wait, name)));
    }

    fn end(self) {
        self.next.set_value(None);
        if self.revealed.with_untracked(Option::is_some) {
            self.revealed.set(None);
        }
    }

    /// Whether something has just been revealed; tracked.
    pub(crate) fn is_on(self) -> bool {
        self.revealed.read().is_some()
    }

    /// Plays a run again, as it truly was.
    fn replay(self, log: &RunLog) {
        self.workspace.playback.set(Some(Playback::play(log.number - 1, 0.0, log.duration)));
    }
}

/// The scene of this page.
pub(crate) fn reveal_scene() -> RevealScene {
    expect_context()
}

/// What was kept secret, on the card *Now*: where the part lies, then each fault with what mends it.
#[component]
pub(crate) fn RevealCard() -> impl IntoView {
    let (scene, workspace) = (reveal_scene(), workspace());
    let faults = move || {
        let named = scene.named.get();
        let kinds = scene.revealed.with(|r| r.as_ref().map(|r| r.faults.clone()));
        let line = |kind: &'static FaultKind| {
            view! {
                <li>
                    <b>{kind.says}</b>
                    <span>{format(Key::MendedBy, &[&kind.mend()])}</span>
                </li>
            }
        };
        kinds.unwrap_or_default().into_iter().take(named).map(line).collect_view()
    };
    let replay = move || {
        let log = workspace.log_of(scene.revealed.read().as_ref()?.run?)?;
        let says = format(Key::ReplayTrueRun, &[&log.number.to_string()]);
        Some(view! {
            <button
                type="button"
                data-testid="replay-true-run"
                on:click=move |_| scene.replay(&log)
            >
                {says}
            </button>
        })
    };
    let place = move || scene.revealed.with(|r| r.as_ref()?.place.clone());
    view! {
        <Show when=move || scene.is_on()>
            <section class="reveal-card" data-testid="reveal-card" aria-label=text(Key::WhatWasSecret)>
                <h2>{text(Key::WhatWasSecret)}</h2>
                <div role="status">
                    <ul>
                        {move || place().map(|says| view! { <li><b>{says}</b></li> })}
                        {faults}
                    </ul>
                </div>
                <div class="row-tools">
                    {replay}
                    <button
                        type="button"
                        class="quiet"
                        data-testid="close-reveal"
                        on:click=move |_| scene.end()
                    >
                        {text(Key::Close)}
                    </button>
                </div>
            </section>
        </Show>
    }
}
