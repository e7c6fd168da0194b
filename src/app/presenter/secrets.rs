use crate::app::i18n::{Key, format};
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{signed, signed_length};
use crate::app::workspace::Workspace;
use nudgeproof::cell::{Fault, OwnMotions};
use nudgeproof::geometry::Pose;
use nudgeproof::routine::same_place;
use nudgeproof::session::RunContext;

/// What is kept secret: what truly is so, and is not told.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Secrets {
    /// The planted faults.
    pub(super) faults: Vec<Fault>,
    /// Where the part truly lies, and its bodies on it, if that is elsewhere than told.
    pub(super) moved: Option<(Pose, OwnMotions)>,
}

impl Secrets {
    /// Tracked.
    pub(super) fn of(workspace: Workspace) -> Self {
        let told = workspace.state();
        workspace.track_truth();
        let truth = workspace.with_truth(|s| s.state().clone());
        let known = told.faults_shown();
        let faults = truth.faults.iter().filter(|fault| !known.contains(fault)).cloned().collect();
        let lies = (truth.work_from_part, OwnMotions::clone(&truth.own_motions));
        let there = same_place(told.part_shown(), lies.0) && *told.own_motions_shown() == lies.1;
        Self { faults, moved: (!there).then_some(lies) }
    }

    pub(super) fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Whether any of it was so in this run.
    pub(super) fn in_run(&self, run: &RunContext) -> bool {
        let lay_there = |(part, own): &(Pose, OwnMotions)| {
            *own == *run.own_motions && run.stretches().any(|s| same_place(s.part, *part))
        };
        let planted = |fault| run.stretches().any(|s| s.faults.contains(fault));
        self.moved.as_ref().is_some_and(lay_there) || self.faults.iter().any(planted)
    }

    /// Each in words.
    pub(super) fn in_words(&self) -> Vec<String> {
        let faults = self.faults.iter().map(|fault| fault.kind().says.to_owned());
        faults.chain(self.place_in_words()).collect()
    }

    /// Where the part truly lies.
    pub(super) fn place_in_words(&self) -> Option<String> {
        let n = Nudge::of(&self.moved.as_ref()?.0);
        let [x, y] = [n.dx, n.dy].map(|v| signed_length(v, 1));
        Some(format(Key::TrulyAt, &[&x, &y, &signed(n.turn_deg, 1)]))
    }
}
