use super::action::{Action, CellState};
use super::error::ActionError;
use super::evidence::{Diagnosis, Looked};
use super::header::Header;
use super::house_rules::HouseRules;
use super::taught::TaughtPlaces;
use crate::cell::{Cell, CellSettings, Fault, OwnMotions, Part, Wire};
use crate::geometry::{Point3, Pose, Vector3};
use crate::routine::{EventKind, Memory, Routine, RunLog, RunOptions, RunSpeed, Runner, StepId};
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
    /// The house rules that the session is judged by.
    pub house_rules: Option<Arc<HouseRules>>,
    /// The learner's routine.
    pub routine: Arc<Routine>,
    /// What the controller remembers between runs: references and offsets.
    pub memory: Arc<Memory>,
    /// Where the part truly lies: `work_from_part`.
    pub work_from_part: Pose,
    /// Where bodies that move by themselves truly lie on it.
    pub own_motions: Arc<OwnMotions>,
    /// Where everyone but the instructor believes part and bodies to lie; `None` while nothing is
    /// concealed.
    pub believed: Option<(Pose, Arc<OwnMotions>)>,
    /// The wire as it truly is.
    pub wire: Wire,
    /// Whether a person may be in the cell.
    pub cell_state: CellState,
    /// Whether the wire carries sensing voltage.
    pub sensing: bool,
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
    /// Every time hands were in the cell while it was ready to run, the newest last; what an instructor
    /// does in secret is left out.
    pub live_entries: List<LiveEntry>,
    /// Hints asked for: rule and hint level, from 1.
    pub hints: List<(String, u8)>,
    /// Rules the coach was allowed to mend.
    pub mended: List<String>,
    /// What the learner has said to be wrong, each time all of it, in order.
    pub named: List<Diagnosis>,
    /// Every look, in order.
    pub looks: List<Looked>,
    /// Minutes that looks, and what hands did, have taken.
    pub(super) hand_minutes: u32,
    /// Where the wire stands in a worn contact tip, mm off the torch axis; part of the bend of the wire.
    pub(super) tip_bend: Vector3<f64>,
    /// The id the next new step gets: ids are never used again.
    pub(super) next_step_id: StepId,
    /// The first run, from 0, about which something may still be concealed.
    pub(super) concealed_from: usize,
    /// Where the part lay when each point was taught.
    pub(crate) taught: TaughtPlaces,
    /// Whether the reference flag was off at some moment since the last run began.
    pub(super) flag_was_off: bool,
    /// The cell with these faults, the part in its drawn place: setting it up checks the part anew.
    pub(super) drawn_cell: Arc<Cell>,
    /// The seed that noise comes from, where it is not the session's.
    pub(super) noise_seed: Option<u64>,
    /// Whether the next run is a part of a study.
    pub(super) study_next: bool,
    /// Steps done in all runs; a start or a resumption that does none counts as one.
    pub(super) steps_run: usize,
    /// Faults planted so far.
    pub(super) faults_planted: usize,
}

/// How things stood during a run, for the coach.
#[derive(Debug, Clone)]
pub struct RunContext {
    /// Where the part was believed to lie at its start, `work_from_part`, if that has not been revealed
    /// since.
    pub believed: Option<Pose>,
    /// Where the part had been put, as far as anyone knows who keeps no secret, `work_from_part`.
    pub put: Pose,
    /// Where bodies that move by themselves truly lay on the part at its start.
    pub own_motions: Arc<OwnMotions>,
    /// Whether the reference flag was off at some moment since the run before began.
    pub flag_was_off: bool,
    /// Whether it is a part of a study, to be watched: the learner has not decided to weld it.
    pub of_study: bool,
    /// At its start.
    pub began: Stretch,
    /// Each time it went on after a pause.
    pub resumed: List<Stretch>,
}

/// Hands in the cell while it was ready to run.
#[derive(Debug, Clone, PartialEq)]
pub struct LiveEntry {
    /// Place of the action among the session's actions, from 0.
    pub action: usize,
    /// What the hands did.
    pub did: ByHand,
    /// Number of the run that was paused, or that came next, from 1.
    pub run: usize,
    /// Whether that run was paused.
    pub paused: bool,
    /// Whether the wire carried sensing voltage.
    pub sensing: bool,
}

/// What hands do in the cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ByHand {
    /// The part was moved, or a body on it.
    PartMoved,
    /// The wire was cut.
    WireCut,
    /// Something was cleaned, seated or put right.
    PutRight,
}

/// How things stood when a run began, or went on after a pause.
#[derive(Debug, Clone)]
pub struct Stretch {
    /// Place of the action among the session's actions, from 0.
    pub action: usize,
    /// Time in the run, s.
    pub time: f64,
    /// The routine.
    pub routine: Arc<Routine>,
    /// Where its points were taught.
    pub(crate) taught: TaughtPlaces,
    /// Whether the reference flag was on.
    pub reference_flag: bool,
    /// Where the part truly lay, `work_from_part`.
    pub part: Pose,
    /// The wire.
    pub wire: Wire,
    /// What a worn contact tip adds to its bend, mm.
    pub(super) tip_bend: Vector3<f64>,
    /// Planted faults.
    pub faults: Arc<Vec<Fault>>,
}

impl RunContext {
    /// How things stood at its start, and each time it went on.
    pub fn stretches(&self) -> impl Iterator<Item = &Stretch> {
        std::iter::once(&self.began).chain(&self.resumed)
    }

    /// Takes out of the log of this run what was planted on the wire, but for the faults that are known.
    pub fn hide_planted_wire(&self, log: &mut RunLog, known: &[Fault], taught_stick_out_mm: f64) {
        let secrets = |s| Stretch::faults_but(s, known).map(move |fault| (s, fault));
        let bent = self.stretches().flat_map(secrets).find_map(|(stretch, fault)| match fault {
            Fault::WireBent { bend } if *bend == stretch.wire.bend => Some((stretch.time, *bend)),
            Fault::TipWorn { .. } if stretch.wire.bend.norm() > 0.0 => {
                Some((stretch.time, stretch.tip_bend))
            }
            _ => None,
        });
        if let Some((from, planted)) = bent {
            // It is part of every later bend, until the wire is straight again.
            let straight = |(time, wire): &&(f64, Wire)| *time > from && wire.bend.norm() < 1e-9;
            let until = log.wire.iter().find(straight).map_or(f64::INFINITY, |(time, _)| *time);
            for event in log.events.iter_mut().filter(|e| e.time >= from && e.time < until) {
                if let EventKind::WireBent { bend, .. } = &mut event.what {
                    *bend -= planted;
                }
            }
            for (_, wire) in log.wire.iter_mut().filter(|(time, _)| *time >= from && *time < until)
            {
                wire.bend -= planted;
            }
        }
        for (_, wire) in &mut log.wire {
            let planted = self.stretches().flat_map(secrets).map(|(_, fault)| fault);
            for fault in planted.filter(|f| !matches!(f, Fault::WireBent { .. })) {
                if fault.is_on_wire(wire) {
                    fault.off_wire(wire, taught_stick_out_mm);
                }
            }
        }
    }
}

impl Stretch {
    /// The planted faults that are not among the known ones.
    fn faults_but(&self, known: &[Fault]) -> impl Iterator<Item = &Fault> {
        self.faults.iter().filter(|fault| !known.contains(fault))
    }
}

impl State {
    /// Where the part lay when the newest reference was stored, `work_from_part`: the taught points belong
    /// to this place. While an instructor conceals something, where it was believed to lie.
    pub fn reference_pose(&self) -> Option<Pose> {
        let stored = self.memory.references.values().max_by_key(|reference| reference.run)?;
        let context = stored.run.checked_sub(1).and_then(|run| self.run_contexts.get(run));
        Some(context.and_then(|context| context.believed).unwrap_or(stored.part))
    }

    /// Nothing taught, nothing run, the part in its drawn place, the torch at rest.
    ///
    /// # Errors
    /// If the part or the settings cannot be used.
    pub(super) fn start(header: &Header) -> Result<Self, ActionError> {
        Ok(Self {
            part: Arc::new(header.part.clone()),
            settings: header.settings,
            house_rules: header.house_rules.clone(),
            routine: Arc::default(),
            memory: Arc::default(),
            work_from_part: Pose::identity(),
            own_motions: Arc::default(),
            believed: None,
            wire: Wire::straight(header.settings.stick_out_mm),
            cell_state: CellState::default(),
            sensing: false,
            faults: Arc::default(),
            runs: List::new_sync(),
            run_contexts: List::new_sync(),
            paused: None,
            torch: header.part.rest,
            live_entries: List::new_sync(),
            hints: List::new_sync(),
            mended: List::new_sync(),
            named: List::new_sync(),
            looks: List::new_sync(),
            hand_minutes: 0,
            tip_bend: Vector3::zeros(),
            next_step_id: StepId(1),
            concealed_from: 0,
            taught: TaughtPlaces::default(),
            flag_was_off: true,
            drawn_cell: Arc::new(Cell::new(&header.part, &header.settings, &[])?),
            noise_seed: None,
            study_next: false,
            steps_run: 0,
            faults_planted: 0,
        })
    }

    /// Where the part truly lay when the weld points, as they now stand, were taught,
    /// `work_from_part`. Only the coach may look at this.
    pub(crate) fn taught_place(&self) -> Pose {
        self.taught.of_welds(&self.routine)
    }

    /// How things stand for a run that goes on now, at this time in it, s.
    pub(super) fn stretch(&self, action: usize, time: f64) -> Stretch {
        Stretch {
            action,
            time,
            routine: self.routine.clone(),
            taught: self.taught.clone(),
            reference_flag: self.memory.reference_flag,
            part: self.part_in_a_run(self.work_from_part),
            wire: self.wire,
            tip_bend: self.tip_bend,
            faults: self.faults.clone(),
        }
    }

    /// Where a part that was put at `place` truly lies for a run: a fault may move it.
    pub(super) fn part_in_a_run(&self, place: Pose) -> Pose {
        let mut faults = self.faults.iter();
        let moved = if self.memory.reference_flag {
            faults.find_map(Fault::reference_part)
        } else {
            faults.find_map(Fault::given_way).map(|away| away * place)
        };
        moved.unwrap_or(place)
    }

    /// What a run is started with whose part was put at `place`: seed of its noise, speed, and whether the
    /// arc is on.
    pub(super) fn run_options(
        &self,
        seed: u64,
        speed: RunSpeed,
        arc: bool,
        place: Pose,
    ) -> RunOptions {
        RunOptions {
            number: self.runs.len() + 1,
            speed,
            arc,
            seed,
            believed: self.believed.as_ref().map_or(place, |(part, _)| *part),
            sensing_speed: self.faults.iter().find_map(Fault::sensing_speed),
            slip: self.faults.iter().find_map(Fault::slip),
        }
    }

    /// How the wire stands in a worn contact tip in the next run, and what of its bend comes from that, mm.
    pub(super) fn standing_in_tip(&self, seed: u64) -> (Wire, Vector3<f64>) {
        let (mut wire, mut tip_bend) = (self.wire, self.tip_bend);
        let run = self.runs.len() + 1;
        let bend = self.faults.iter().find_map(|fault| fault.tip_bend(seed, run));
        if wire.bend == tip_bend || wire.bend == Vector3::zeros() {
            tip_bend = bend.unwrap_or_default();
            wire.bend = tip_bend;
        }
        (wire, tip_bend)
    }

    /// The cell as it truly stands.
    pub fn cell(&self) -> Cell {
        let mut cell = Cell::clone(&self.drawn_cell);
        cell.place_part(self.work_from_part);
        cell.place_bodies(&self.own_motions);
        cell.wire = self.wire;
        cell
    }

    /// Whether an instructor keeps something from the learner.
    pub fn concealed(&self) -> bool {
        self.believed.is_some()
    }

    /// Where the part may be shown: where it lies, unless that is concealed.
    pub fn part_shown(&self) -> Pose {
        self.believed.as_ref().map_or(self.work_from_part, |(part, _)| *part)
    }

    /// Where bodies that move by themselves may be shown to lie on the part.
    pub fn own_motions_shown(&self) -> &OwnMotions {
        self.believed.as_ref().map_or(&self.own_motions, |(_, own)| own)
    }

    /// The wire that may be shown: a planted bend or stick-out only once it is revealed.
    pub fn wire_shown(&self) -> Wire {
        if self.concealed() { self.wire_without(&[]) } else { self.wire }
    }

    /// The wire without what was planted, but for the faults that are known.
    pub(super) fn wire_without(&self, known: &[Fault]) -> Wire {
        let mut wire = self.wire;
        for fault in self.faults.iter().filter(|fault| !known.contains(fault)) {
            if fault.is_on_wire(&wire) {
                fault.off_wire(&mut wire, self.settings.stick_out_mm);
            }
            if matches!(fault, Fault::TipWorn { .. }) && wire.bend == self.tip_bend {
                wire.bend = Vector3::zeros();
            }
        }
        wire
    }

    /// The planted faults that may be told.
    pub fn faults_shown(&self) -> &[Fault] {
        if self.concealed() { &[] } else { &self.faults }
    }

    /// The part that may be shown to lie there: the one that truly does, unless that is concealed.
    pub fn true_part_shown(&self) -> Arc<Part> {
        if self.concealed() || self.faults.is_empty() {
            return self.part.clone();
        }
        self.drawn_cell.true_part().clone()
    }

    /// From now on this is the routine, and its points were taught there.
    pub(crate) fn put_in(&mut self, routine: Arc<Routine>, taught: TaughtPlaces) {
        self.routine = routine;
        self.taught = taught;
    }

    /// The newest run.
    pub fn last_run(&self) -> Option<&Arc<RunLog>> {
        self.runs.last()
    }

    /// The action that turns the reference flag on or off; `None` where it stands so already.
    pub fn turn_reference(&self, on: bool) -> Option<Action> {
        (self.memory.reference_flag != on).then_some(Action::SetReference { on })
    }

    /// What hands do in the cell: it is locked out before, and ready after, unless it is locked out
    /// already.
    pub fn by_hand(&self, actions: impl IntoIterator<Item = Action>) -> Vec<Action> {
        if self.cell_state == CellState::LockedOut {
            return actions.into_iter().collect();
        }
        let set = |state| std::iter::once(Action::SetCell { state });
        set(CellState::LockedOut).chain(actions).chain(set(CellState::Ready)).collect()
    }

    /// The action that would teach `point` where the torch is now.
    pub fn teach_here(&self, point: &str) -> Action {
        Action::Teach { point: point.into(), at: self.torch }
    }
}
