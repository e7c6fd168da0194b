//! Warms the program up. A browser compiles a function to machine code when it is first called, which
//! would slow the first presses. So while the learner still reads the page, this goes through the same
//! actions on a bench of its own, a small piece at a time. That bench stands in an element outside the
//! document, its session is not stored, and its views are removed at the end.

use super::guide::NowCard;
use super::keys::Shortcuts;
use super::lessons::Course;
use super::logic::aim::Aim;
use super::logic::nudge::Nudge;
use super::logic::palette::{Piece, Placing};
use super::logic::playback::Playback;
use super::panels::Panels;
use super::presenter::{ClassRules, Guesses, RevealScene};
use super::routine::RoutinePanel;
use super::run::{Caution, NudgePanel, RunBar};
use super::settings::Settings;
use super::sheet::{Sheet, place_part};
use super::workspace::Workspace;
use gloo::timers::callback::Timeout;
use leptos::mount::{UnmountHandle, mount_to_renderer};
use leptos::prelude::*;
use leptos::tachys::view::any_view::AnyViewState;
use nudgeproof::geometry::Vector3;
use nudgeproof::routine::RunSpeed;
use nudgeproof::session::{Action, Header, Session};
use web_sys::Element;

/// How long the page has been there before it begins, ms.
const AFTER: u32 = 400;
/// From one piece to the next, ms: long enough to let a press in between.
const BETWEEN: u32 = 30;

/// The views of the bench, each drawn as a piece of its own.
const VIEWS: [fn() -> AnyView; 5] = [
    || view! { <Sheet /> }.into_any(),
    || view! { <RoutinePanel /> }.into_any(),
    || view! { <RunBar /> }.into_any(),
    || view! { <NudgePanel /> }.into_any(),
    || view! { <NowCard /> }.into_any(),
];

/// What a learner does first, up to a run.
const ACTIONS: [fn(Workspace); 10] = [
    |workspace| add(workspace, Piece::Home),
    |workspace| add(workspace, Piece::SensingOn),
    |workspace| add(workspace, Piece::Feel),
    |workspace| add(workspace, Piece::SensingOff),
    |workspace| add(workspace, Piece::Find),
    |workspace| workspace.hold_torch(workspace.hand.get_untracked() + Vector3::x()),
    |workspace| place_part(workspace, Nudge { dx: 1.0, ..Nudge::default() }),
    run,
    |workspace| show_at(workspace, 0.5),
    |workspace| show_at(workspace, 1.0),
];

/// Does once what the first presses set off.
pub(crate) fn warm_up(header: Header, settings: Settings) {
    // Outside a lesson: an attempt would mark places of the page.
    let header = Header { lesson: None, ..header };
    if let Ok(session) = Session::new(header) {
        Timeout::new(AFTER, move || Warming::begin(session, settings)).forget();
    }
}

struct Warming {
    /// Of the signals that the views share. It is never dropped, as that of the page.
    owner: Owner,
    workspace: Workspace,
    /// Stands outside the document.
    element: Element,
    views: Vec<UnmountHandle<AnyViewState>>,
    /// Number of actions done.
    done: usize,
}

impl Warming {
    fn begin(session: Session, settings: Settings) {
        let Ok(element) = document().create_element("div") else { return };
        let owner = Owner::new();
        let workspace = owner.with(|| {
            let workspace = Workspace::not_stored(session);
            provide_context(settings);
            provide_context(Shortcuts::deaf(settings));
            provide_context(workspace);
            let course = Course::new(workspace);
            provide_context(course);
            provide_context(Guesses::new(workspace, course));
            provide_context(RevealScene::new(workspace));
            provide_context(ClassRules::new(workspace, settings));
            provide_context(Panels::default());
            provide_context(Caution::new(settings));
            workspace
        });
        Self { owner, workspace, element, views: Vec::new(), done: 0 }.soon();
    }

    fn soon(self) {
        Timeout::new(BETWEEN, move || self.go_on()).forget();
    }

    fn go_on(mut self) {
        if let Some(view) = VIEWS.get(self.views.len()) {
            let mounted = self.owner.with(|| mount_to_renderer(&self.element, *view));
            self.views.push(mounted);
        } else if let Some(act) = ACTIONS.get(self.done) {
            act(self.workspace);
            self.done += 1;
        } else if !self.workspace.review.busy_untracked() {
            self.workspace.undo();
            std::mem::forget(self.owner);
            // The undo is drawn before the views go.
            Timeout::new(BETWEEN, move || drop(self.views)).forget();
            return;
        }
        self.soon();
    }
}

fn add(workspace: Workspace, piece: Piece) {
    let state = workspace.state_untracked();
    let routine = &state.routine;
    let (torch, at, aim) = (workspace.hand.get_untracked(), routine.steps.len(), Aim::ALL[0]);
    let placing = Placing { routine, torch, at, aim: aim.vector(), face: aim.face() };
    workspace.act_all(placing.actions(piece));
}

fn run(workspace: Workspace) {
    workspace.act(Action::Run { speed: RunSpeed::Full, arc: false, steps: None });
    if let Some(log) = workspace.state_untracked().runs.last() {
        workspace.playback.set(Some(Playback::play(0, 0.0, log.duration)));
    }
}

/// Shows the run at a share of its time.
fn show_at(workspace: Workspace, share: f64) {
    if let Some(log) = workspace.state_untracked().runs.last() {
        workspace.playback.set(Some(Playback::at(0, share * log.duration, log.duration)));
    }
}
