//! Starts a run, and reports how it ended.

use crate::app::i18n::{Key, format, text};
use crate::app::lessons::Course;
use crate::app::logic::describe::run_kind;
use crate::app::logic::playback::Playback;
use crate::app::logic::shown::came_out;
use crate::app::panels::{Panel, Panels};
use crate::app::workspace::Workspace;
use leptos::prelude::*;
use nudgeproof::routine::RunKind;
use nudgeproof::session::{Action, CellState};

/// Starts the routine, or goes on with a paused one: `steps` of it, or all.
pub(super) fn start(workspace: Workspace, course: Course, panels: Panels, steps: Option<usize>) {
    if course.standing.read_untracked().asks {
        workspace.warn(text(Key::AnswerFirst).into());
        panels.show(Panel::Question);
        return;
    }
    let before = workspace.state_untracked();
    if before.cell_state == CellState::LockedOut {
        workspace.warn(text(Key::IsLockedOut).into());
        return;
    }
    if before.routine.steps.is_empty() {
        workspace.warn(text(Key::NothingToRun).into());
        return;
    }
    let paused = before.runs.last().filter(|_| before.paused.is_some());
    let (from, action) = if let Some(log) = paused {
        (log.duration, Action::Resume { steps })
    } else {
        let (speed, arc) = (workspace.speed.get_untracked(), workspace.arc.get_untracked());
        (0.0, Action::Run { speed, arc, steps })
    };
    if !workspace.act(action) {
        return;
    }
    let state = workspace.state_untracked();
    let Some(log) = state.runs.last() else { return };
    workspace.hand.set(state.torch);
    workspace.playback.set(Some(Playback::play(state.runs.len() - 1, from, log.duration)));
    let number = log.number.to_string();
    workspace.notify(match log.kind {
        RunKind::Plain => format(Key::PlainRunStarted, &[&number]),
        kind => format(Key::RunStarted, &[&number, run_kind(kind)]),
    });
}

/// Tells the learner how the run on show ended, once it has been shown to its end.
pub(super) fn announce_end(workspace: Workspace) {
    let Some((log, p)) = untrack(|| workspace.on_show()) else { return };
    if let Some(text) = came_out(&log, Some(&p)) {
        workspace.notify(text);
    } else if log.end.is_none() && p.at_end(&log) {
        workspace.notify(text(Key::SaidPaused).into());
    }
}
