use super::action::Action;
use super::error::ActionError;
use super::header::Header;
use super::taught::TaughtPlaces;
use crate::cell::{Cell, CellSettings, Fault, Part};
use crate::geometry::{Point3, Pose, Vector3};
use crate::routine::{Memory, Routine, RunLog, Runner, StepId};
use std::sync::Arc;

/// A list that shares what did not change with its copies: copying and adding cost the same however
/// long it is.
pub type List<T> = rpds::VectorSync<T>;

/// Everything a session has come to: a pure function of its header and its actions.
///
/// A copy costs the same however long the session is: what grows with it is shared.
#[derive(Debug, Clone)]
pub struct State {
    /// The part as the learner sees it drawn.
    pub part: Arc<Part>,
    /// Torch and sensing.
    pub settings: CellSettings,
    /// The learner's routine.
    pub routine: Arc<Routine>,
    /// What the controller remembers between runs: references and offsets.
    pub memory: Arc<Memory>,
    /// Where the part truly lies: `work_from_part`.
    pub work_from_part: Pose,
    /// Where everyone but the instructor believes it to lie, `work_from_part`; `None` while nothing
    /// is concealed.
    pub believed: Option<Pose>,
    /// From where the wire tip should be to where it is, work frame, mm.
    pub bend: Vector3<f64>,
    /// Stick-out now, mm.
    pub stick_out_mm: f64,
    /// Planted faults.
    pub faults: Arc<Vec<Fault>>,
    /// Every run so far, the newest last; a paused one is the last.
    pub runs: List<Arc<RunLog>>,
    /// What each run was started with, in step with `runs`.
    pub run_contexts: List<RunContext>,
    /// The paused run, if there is one.
    pub paused: Option<Arc<Runner>>,
    /// Torch point: where the controller takes the wire tip to be, work frame, mm.
    pub torch: Point3<f64>,
    /// Hints asked for: rule and hint level, from 1.
    pub hints: List<(String, u8)>,
    /// Rules the coach was allowed to mend.
    pub mended: List<String>,
    /// Causes the learner named, in order.
    pub named: List<String>,
    /// The id the next new step gets: ids are never used again.
    pub(super) next_step_id: StepId,
    /// The first run, from 0, about which something may still be concealed.
    pub(super) concealed_from: usize,
    /// Where the part lay when each point was taught.
    pub(crate) taught: TaughtPlaces,
    /// Whether the reference flag of a plan in use was off at some moment since the last run began.
    pub(super) flag_was_off: bool,
    /// The cell with these faults, the part in its drawn place: setting it up checks the part anew.
    pub(super) drawn_cell: Arc<Cell>,
    /// Steps done in all runs; a start or a resumption that does none counts as one.
    pub(super) steps_run: usize,
    /// Faults planted so far.
    pub(super) faults_planted: usize,
}

/// The circumstances in which a run was started, for the coach.
#[derive(Debug, Clone, PartialEq)]
pub struct RunContext {
    /// Place of the run action among the session's actions, from 0.
    pub action: usize,
    /// The routine as it then was.
    pub routine: Arc<Routine>,
    /// Where the part was then believed to lie, `work_from_part`, if that has not been revealed since.
    pub believed: Option<Pose>,
    /// Planted faults.
    pub faults: Arc<Vec<Fault>>,
    /// From where the wire tip should be to where it was, work frame, mm.
    pub bend: Vector3<f64>,
    /// Stick-out, mm.
    pub stick_out_mm: f64,
    /// Where the part truly lay when the weld points of the routine were taught, `work_from_part`.
    pub taught: Pose,
    /// Whether the reference flag of a plan in use was off at some moment since the run before began.
    pub flag_was_off: bool,
}

impl State {
    /// Nothing taught, nothing run, the part in its drawn place, the torch at rest.
    ///
    /// # Errors
    /// If the part or the settings cannot be used.
    pub(super) fn start(header: &Header) -> Result<Self, ActionError> {
        Ok(Self {
            part: Arc::new(header.part.clone()),
            settings: header.settings,
            routine: Arc::default(),
            memory: Arc::default(),
            work_from_part: Pose::identity(),
            believed: None,
            bend: Vector3::zeros(),
            stick_out_mm: header.settings.stick_out_mm,
            faults: Arc::default(),
            runs: List::new_sync(),
            run_contexts: List::new_sync(),
            paused: None,
            torch: header.part.rest,
            hints: List::new_sync(),
            mended: List::new_sync(),
            named: List::new_sync(),
            next_step_id: StepId(1),
            concealed_from: 0,
            taught: TaughtPlaces::default(),
            flag_was_off: false,
            drawn_cell: Arc::new(Cell::new(&header.part, &header.settings, &[])?),
            steps_run: 0,
            faults_planted: 0,
        })
    }

    /// Where the part truly lay when the weld points, as they now stand, were taught,
    /// `work_from_part`. Only the coach may look at this.
    pub(crate) fn taught_place(&self) -> Pose {
        self.taught.of_welds(&self.routine)
    }

    /// The cell as it truly stands.
    pub fn cell(&self) -> Cell {
        let mut cell = Cell::clone(&self.drawn_cell);
        cell.place_part(self.work_from_part);
        cell.wire.bend = self.bend;
        cell.wire.stick_out_mm = self.stick_out_mm;
        cell
    }

    /// Whether an instructor keeps something from the learner.
    pub fn concealed(&self) -> bool {
        self.believed.is_some()
    }

    /// Where the part may be shown: where it lies, unless that is concealed.
    pub fn part_shown(&self) -> Pose {
        self.believed.unwrap_or(self.work_from_part)
    }

    /// The bend of the wire that may be shown, mm: a planted one only once it is revealed.
    pub fn bend_shown(&self) -> Vector3<f64> {
        let planted = |f: &Fault| matches!(f, Fault::WireBent { bend } if *bend == self.bend);
        if self.concealed() && self.faults.iter().any(planted) {
            Vector3::zeros()
        } else {
            self.bend
        }
    }

    /// The stick-out that may be shown, mm: a planted one only once it is revealed.
    pub fn stick_out_shown(&self) -> f64 {
        let planted = |f: &Fault| matches!(f, Fault::StickOutChanged { stick_out_mm } if *stick_out_mm == self.stick_out_mm);
        if self.concealed() && self.faults.iter().any(planted) {
            self.settings.stick_out_mm
        } else {
            self.stick_out_mm
        }
    }

    /// The part that may be shown to lie there: the one that truly does, unless that is concealed.
    pub fn true_part_shown(&self) -> Arc<Part> {
        if self.concealed() || self.faults.is_empty() {
            return self.part.clone();
        }
        self.drawn_cell.true_part().clone()
    }

    /// The newest run.
    pub fn last_run(&self) -> Option<&Arc<RunLog>> {
        self.runs.last()
    }

    /// The action that would teach `point` where the torch is now.
    pub fn teach_here(&self, point: &str) -> Action {
        Action::Teach { point: point.into(), at: self.torch }
    }
}
