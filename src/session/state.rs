use super::action::Action;
use super::history::Header;
use crate::cell::{CellSettings, Fault, Part};
use crate::geometry::{Point3, Pose, Vector3};
use crate::routine::{Memory, Routine, RunLog, Runner, StepId};
use std::sync::Arc;

/// Everything a session has come to: a pure function of its header and its actions.
#[derive(Debug, Clone)]
pub struct State {
    /// The part as the learner sees it drawn.
    pub part: Arc<Part>,
    /// Torch and sensing.
    pub settings: CellSettings,
    /// The learner's routine.
    pub routine: Arc<Routine>,
    /// What the controller remembers between runs: references and offsets.
    pub memory: Memory,
    /// Where the part truly lies: `work_from_part`.
    pub work_from_part: Pose,
    /// Where the wire tip is from where it should be, mm.
    pub bend: Vector3<f64>,
    /// Stick-out now, mm.
    pub stick_out_mm: f64,
    /// Planted faults.
    pub faults: Vec<Fault>,
    /// Every run so far, the newest last; a paused one is the last.
    pub runs: Vec<Arc<RunLog>>,
    /// The paused run, if there is one.
    pub paused: Option<Runner>,
    /// The id the next new step gets: ids are never used again.
    pub(super) next_step_id: StepId,
    /// Where the torch is, work frame, mm.
    pub torch: Point3<f64>,
    /// What each run was started with, in step with `runs`.
    pub marks: Vec<RunMark>,
    /// Hints asked for: rule and rung.
    pub hints: Vec<(String, u8)>,
    /// Rules the coach was allowed to mend.
    pub mended: Vec<String>,
    /// Causes the learner named, in order.
    pub named: Vec<String>,
}

/// What the coach wants to know about the moment a run was started.
#[derive(Debug, Clone, PartialEq)]
pub struct RunMark {
    /// Place of the run action among the session's actions, from 0.
    pub action: usize,
    /// The routine as it then was.
    pub routine: Arc<Routine>,
}

impl State {
    /// Nothing taught, nothing run, the part in its drawn place, the torch at rest.
    pub(super) fn start(header: &Header) -> Self {
        Self {
            part: Arc::new(header.part.clone()),
            settings: header.settings,
            routine: Arc::default(),
            memory: Memory::default(),
            work_from_part: Pose::identity(),
            bend: Vector3::zeros(),
            stick_out_mm: header.settings.stick_out_mm,
            faults: Vec::new(),
            runs: Vec::new(),
            paused: None,
            next_step_id: StepId(1),
            torch: header.part.rest,
            marks: Vec::new(),
            hints: Vec::new(),
            mended: Vec::new(),
            named: Vec::new(),
        }
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
