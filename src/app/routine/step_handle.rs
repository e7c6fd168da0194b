use crate::app::i18n::{Key, format, text};
use crate::app::logic::rename_place::rename_place;
use crate::app::workspace::Workspace;
use leptos::prelude::*;
use nudgeproof::routine::{Instruction, StepId};
use nudgeproof::session::Action;

/// A step of the routine on the workspace: what it is, and what can be done with it.
#[derive(Clone, Copy)]
pub(super) struct StepHandle {
    pub(super) id: StepId,
    /// Place in the routine, from 0; `None` once the step has been deleted.
    pub(super) index: Memo<Option<usize>>,
    /// What the step does; `None` once it has been deleted.
    pub(super) instruction: Memo<Option<Instruction>>,
    workspace: Workspace,
}

impl StepHandle {
    /// The step of this id; `index` tells its place in the routine, from 0.
    pub(super) fn new(
        workspace: Workspace,
        id: StepId,
        index: impl Fn() -> Option<usize> + Send + Sync + 'static,
    ) -> Self {
        let index = Memo::new(move |_| index());
        let instruction = Memo::new(move |_| {
            let routine = workspace.routine();
            Some(routine.steps.get(index.get()?)?.instruction.clone())
        });
        Self { id, index, instruction, workspace }
    }

    /// Changes what the step does.
    pub(super) fn change(self, edit: impl FnOnce(&mut Instruction)) {
        let Some(mut step) = self.instruction.get_untracked() else { return };
        edit(&mut step);
        self.workspace.act(Action::ChangeStep { id: self.id, step });
    }

    /// Gives the place that the step finds another name, for the steps that follow it as well.
    pub(super) fn rename_place(self, new: &str) {
        let routine = &self.workspace.state_untracked().routine;
        self.workspace.act_all(rename_place(routine, self.id, new));
    }

    /// Moves the step up (−1) or down (1) in the routine.
    pub(super) fn move_by(self, by: isize) {
        let count = self.workspace.state_untracked().routine.steps.len();
        let to = self.index.get_untracked().and_then(|i| i.checked_add_signed(by));
        let Some(to) = to.filter(|to| *to < count) else { return };
        if self.workspace.act(Action::MoveStep { id: self.id, to }) {
            self.workspace.notify(format(Key::StepMoved, &[&(to + 1).to_string()]));
        }
    }

    /// Deletes the step.
    pub(super) fn delete(self) {
        if self.workspace.act(Action::DeleteStep { id: self.id }) {
            self.workspace.cursor.set(None);
            self.workspace.notify(text(Key::StepDeleted).into());
        }
    }

    /// Selects the step, or no step if it is selected.
    pub(super) fn toggle_selected(self) {
        self.workspace.cursor.update(|c| *c = (*c != Some(self.id)).then_some(self.id));
    }

    /// Selects no step.
    pub(super) fn deselect(self) {
        self.workspace.cursor.set(None);
    }

    /// The step before (−1) or after (1) it.
    pub(super) fn neighbour(self, by: isize) -> Option<StepId> {
        let at = self.index.get_untracked()?.checked_add_signed(by)?;
        Some(self.workspace.state_untracked().routine.steps.get(at)?.id)
    }
}
