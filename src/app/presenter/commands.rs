//! What an instructor does to the session that the class sees.

use super::reveal::RevealScene;
use super::secrets::Secrets;
use crate::app::bench::take_part;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::describe;
use crate::app::logic::nudge;
use crate::app::workspace::Workspace;
use leptos::prelude::*;
use nudgeproof::cell::{FAULT_KINDS, Fault, FaultKind, parts};
use nudgeproof::geometry::PoseFile;
use nudgeproof::lesson::{Lesson, LessonKind};
use nudgeproof::session::Action;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The kinds of fault that the part on the bench has a place for.
pub(super) fn kinds_that_fit(workspace: Workspace) -> Vec<&'static FaultKind> {
    let state = workspace.state();
    let fits = |kind: &&FaultKind| (kind.typical)(&state.part, &state.settings).is_some();
    FAULT_KINDS.iter().filter(fits).collect()
}

/// Plants the fault in secret, with values that suit the part. What came of it, for the instructor alone.
pub(super) fn plant(workspace: Workspace, kind: &FaultKind) -> String {
    let state = workspace.state_untracked();
    let Some(fault) = (kind.typical)(&state.part, &state.settings) else {
        return text(Key::FaultDoesNotFit).into();
    };
    in_secret(workspace, vec![Action::PlantInSecret { fault }], format(Key::Planted, &[kind.says]))
}

/// Moves the part to a random place in its play; the page goes on showing it where it was.
pub(super) fn move_in_secret(workspace: Workspace) -> String {
    let state = workspace.state_untracked();
    let (seed, count) = workspace.with_truth(|s| (s.header().seed, s.actions().len()));
    let (to, bodies) = nudge::random(&state.part, seed, count * 1000);
    let action = Action::MoveInSecret { part: to.file(), bodies };
    in_secret(workspace, vec![action], text(Key::MovedInSecret).into())
}

/// Undoes what is secret: its faults are mended, and the part lies where the class takes it to lie.
pub(super) fn take_back(workspace: Workspace) -> String {
    if in_a_drill(workspace) {
        return text(Key::DrillKeepsSecret).into();
    }
    let secrets = untrack(|| Secrets::of(workspace));
    let state = workspace.state_untracked();
    let clear = |fault: &Fault| Action::ClearInSecret { fault: fault.name().into() };
    let mut actions: Vec<Action> = secrets.faults.iter().map(clear).collect();
    if secrets.moved.is_some() {
        let own = state.own_motions_shown().iter();
        let bodies: BTreeMap<_, PoseFile> =
            own.map(|(name, motion)| (name.clone(), PoseFile::from(*motion))).collect();
        actions.push(Action::MoveInSecret { part: state.part_shown().into(), bodies });
    }
    in_secret(workspace, actions, text(Key::TakenBack).into())
}

/// Whether a drill keeps its own secret: it tells what is wrong once it is named.
fn in_a_drill(workspace: Workspace) -> bool {
    let is_drill = |l: &Arc<Lesson>| l.kind == LessonKind::Drill;
    let attempt = workspace.attempt.read_untracked();
    attempt.as_ref().is_some_and(is_drill) && workspace.state_untracked().concealed()
}

fn in_secret(workspace: Workspace, actions: Vec<Action>, done: String) -> String {
    match workspace.act_in_secret(actions) {
        Ok(()) => done,
        Err(why) => format(Key::CannotDo, &[&describe::refusal(&why)]),
    }
}

/// Shows everything as it truly is, and names what was kept secret; `scene` shows it.
pub(super) fn reveal(workspace: Workspace, scene: RevealScene) -> String {
    if in_a_drill(workspace) {
        let says = text(Key::DrillKeepsSecret).to_owned();
        workspace.notify(says.clone());
        return says;
    }
    let secrets = untrack(|| Secrets::of(workspace));
    let believed = workspace.state_untracked().part_shown();
    let keeps = untrack(|| workspace.keeps_secret() || workspace.state().concealed());
    let says = if secrets.is_empty() {
        text(Key::NothingSecret).to_owned()
    } else {
        format(Key::Revealed, &[&secrets.in_words().join("; ")])
    };
    if !keeps || workspace.act(Action::Reveal) {
        workspace.notify(says.clone());
        if !secrets.is_empty() {
            scene.begin(&secrets, believed);
        }
    }
    says
}

/// Takes back what is secret, and clears the faults that everyone knows of; a fault of the wire by cutting
/// it to its taught length.
pub(super) fn clear_faults(workspace: Workspace) -> String {
    take_back(workspace);
    let state = workspace.state_untracked();
    let cut = Action::CutWire { stick_out_mm: state.settings.stick_out_mm };
    let known = state.faults_shown();
    let done = known.is_empty()
        || workspace.act_all(if known.iter().any(|f| f.kind().is_of_the_wire()) {
            state.by_hand([cut, Action::ClearFaults])
        } else {
            vec![Action::ClearFaults]
        });
    // The same whether anything was planted or not.
    if done {
        workspace.notify(text(Key::FaultsCleared).into());
    }
    text(Key::FaultsCleared).into()
}

/// Takes the next built-in part, with the next seed.
pub(super) fn next_part(workspace: Workspace) -> String {
    let now = workspace.state_untracked().part.name.clone();
    let seed = workspace.with_session(|s| s.header().seed);
    let all = parts();
    let at = all.iter().position(|p| p.name == now).map_or(0, |i| (i + 1) % all.len().max(1));
    let Some(part) = all.into_iter().nth(at) else { return String::new() };
    let says = format(Key::PartOnBench, &[&part.title]);
    take_part(workspace, part, seed.wrapping_add(1));
    says
}
