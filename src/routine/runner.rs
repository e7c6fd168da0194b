use super::log::{Event, EventKind, Leg, LegKind, RunKind, RunLog, RunSpeed};
use super::route::{Corner, way};
use super::steps::{DEFAULT_REACH_MM, DEFAULT_SENSING_SPEED_MM_S, PathKind, Routine, Step, StepId};
use crate::cell::{AllowedContact, Cell, NozzleHit, REDUCED_SPEED_MM_S, Wire};
use crate::geometry::{Point3, Pose, Vector3, polyline};
use crate::text::{Sentence, say};
use std::sync::Arc;

/// What a run is started with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunOptions {
    /// Number of the run in its session, from 1; part of the seed of its noise.
    pub number: usize,
    /// How fast.
    pub speed: RunSpeed,
    /// Whether the arc is on.
    pub arc: bool,
    /// Seed of the session.
    pub seed: u64,
    /// Where everyone but an instructor takes the part to lie, `work_from_part`: a run is named for
    /// what its operator knows.
    pub believed: Pose,
    /// Search speed that overrides the steps' own while the reference flag is off, mm/s (a planted
    /// fault).
    pub sensing_speed: Option<f64>,
    /// How the part slips once its touches are made: from where it lay to where it then lies, work
    /// frame, mm and radians (a planted fault).
    pub slip: Option<Pose>,
}

impl RunOptions {
    /// A run at full speed without arc, of a part that is taken to lie in its drawn place, with nothing
    /// planted. `number` and `seed` decide its noise.
    pub fn new(number: usize, seed: u64) -> Self {
        Self {
            number,
            speed: RunSpeed::Full,
            arc: false,
            seed,
            believed: Pose::identity(),
            sensing_speed: None,
            slip: None,
        }
    }
}

/// A run under way: executes a routine step by step in a cell and writes the log.
///
/// It learns where the part is by contacts alone. Between steps it can be paused and resumed.
#[derive(Debug, Clone)]
pub struct Runner {
    pub(super) options: RunOptions,
    /// Index of the next step: the list may have been edited during a pause.
    pub(super) next: usize,
    /// The torch point, work frame, mm: the tip of a straight wire; a bent wire's tip is elsewhere.
    pub(super) torch: Point3<f64>,
    /// If the last move ends in a rounding: the point that the torch is rounding, and how far before it the
    /// torch left its path, mm.
    pub(super) corner: Corner,
    /// Whether the wire carries sensing voltage.
    pub(super) voltage: bool,
    /// How searches are made, by the last *sensing on*.
    pub(super) sensing: Sensing,
    /// The touches felt since the last find, in order.
    pub(super) felt: Vec<FeltTouch>,
    /// The place that is followed, and its offset.
    pub(super) following: Option<(String, Pose)>,
    pub(super) weld: Option<OpenWeld>,
    /// Axis of the torch, from the wire tip up; work frame, unit length.
    pub(super) axis: Vector3<f64>,
    /// Whether the log says how the run came about, too, and not only what came of it.
    pub(super) told: bool,
    /// Searches so far.
    pub(super) searches: usize,
    /// Events so far.
    pub(super) events: usize,
    /// Shared with the readers of a paused run.
    pub(super) log: Arc<RunLog>,
}

/// How searches are made.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sensing {
    /// Speed of a search, mm/s.
    pub(super) speed_mm_s: f64,
    /// Greatest length of a search, mm.
    pub(super) reach_mm: f64,
}

/// A touch that no find has used yet.
#[derive(Debug, Clone)]
pub(super) struct FeltTouch {
    /// The feel.
    pub(super) step: StepId,
    /// The learner's name for the face.
    pub(super) face: String,
    /// Torch point at contact as the controller believes it, work frame, mm.
    pub(super) reading: Point3<f64>,
    /// Search direction, work frame, unit length.
    pub(super) search: Vector3<f64>,
    /// Speed of the search, mm/s.
    pub(super) speed_mm_s: f64,
}

/// A weld that has been started and not ended.
#[derive(Debug, Clone, Copy)]
pub(super) struct OpenWeld {
    /// The taught point it has come to, work frame, mm.
    pub(super) taught: Point3<f64>,
    /// Whether it begins there.
    pub(super) begins: bool,
    /// Where the wire tip then was: at the start once the arc burned, in a trial as it came; work
    /// frame, mm.
    pub(super) wire: Point3<f64>,
}

/// A step that cannot be completed stops the run; the reason is in the log already.
pub(super) struct Halt;

impl Runner {
    /// A run that is about to do its first step, the torch waiting at `torch`.
    pub fn new(options: RunOptions, cell: &Cell, torch: Point3<f64>) -> Self {
        let log = RunLog {
            number: options.number,
            kind: RunKind::Plain,
            speed: options.speed,
            arc: options.arc,
            part: cell.work_from_part(),
            part_at_end: cell.work_from_part(),
            wire: vec![(0.0, cell.wire)],
            legs: Vec::new(),
            searches: Vec::new(),
            solutions: Vec::new(),
            welds: Vec::new(),
            events: Vec::new(),
            end: None,
            duration: 0.0,
        };
        Self {
            options,
            next: 0,
            torch,
            corner: None,
            voltage: false,
            sensing: Sensing { speed_mm_s: DEFAULT_SENSING_SPEED_MM_S, reach_mm: DEFAULT_REACH_MM },
            felt: Vec::new(),
            following: None,
            weld: None,
            axis: Vector3::z(),
            told: true,
            searches: 0,
            events: 0,
            log: Arc::new(log),
        }
    }

    /// The same run in less time: its log has only what came of it, which is whether it finished, its
    /// solutions, and its welds. It has no kind, no times, no motion, no searches and no events.
    #[must_use]
    pub fn untold(mut self) -> Self {
        self.told = false;
        self
    }

    /// The log, for writing; copied first if it is shared.
    pub(super) fn write(&mut self) -> &mut RunLog {
        Arc::make_mut(&mut self.log)
    }

    /// The same run with another log of what came so far.
    #[must_use]
    pub fn with_log(&self, log: Arc<RunLog>) -> Self {
        let (searches, events) = (log.searches.len(), log.events.len());
        Self { searches, events, log, ..self.clone() }
    }

    /// The log so far.
    pub fn log(&self) -> &Arc<RunLog> {
        &self.log
    }

    /// Where the torch is, work frame, mm.
    pub fn torch(&self) -> Point3<f64> {
        self.torch
    }

    /// Whether the wire carries sensing voltage.
    pub fn senses(&self) -> bool {
        self.voltage
    }

    /// Takes the sensing voltage off, as the cell does when it is locked out.
    pub fn lock_out(&mut self) {
        self.sensing_off(self.last_step());
    }

    /// The voltage is off from now on.
    pub(super) fn sensing_off(&mut self, step: StepId) {
        if std::mem::take(&mut self.voltage) {
            self.event(step, EventKind::SensingOff);
        }
    }

    /// From now on everyone takes the part to lie here, `work_from_part`.
    pub fn believe(&mut self, part: Pose) {
        self.options.believed = part;
    }

    /// The offset that points are carried by at this moment, work frame, mm and radians.
    pub fn active_offset(&self) -> Option<Pose> {
        self.following.as_ref().map(|(_, pose)| *pose)
    }

    /// Place in the routine of the step that comes next.
    pub fn next_step(&self) -> usize {
        self.next
    }

    /// Notes that the part was moved while the run is paused.
    pub fn part_moved(&mut self, part: Pose) {
        self.write().part_at_end = part;
        // Moved again before the torch moves on: that is told already.
        let told = |e: &Event| e.what == EventKind::PartMoved && e.time == self.log.duration;
        if !self.log.events.last().is_some_and(told) {
            self.event(self.last_step(), EventKind::PartMoved);
        }
    }

    /// The step that moved the torch last.
    fn last_step(&self) -> StepId {
        self.log.legs.last().map_or(StepId::default(), |l| l.step)
    }

    /// Where the step's point is for the torch now: carried, while a place is followed.
    pub(super) fn target(
        &mut self,
        step: &Step,
        routine: &Routine,
        name: &str,
    ) -> Result<Point3<f64>, Halt> {
        let taught = self.taught(step, routine, name)?;
        Ok(self.active_offset().map_or(taught, |pose| pose.point(&taught)))
    }

    pub(super) fn taught(
        &mut self,
        step: &Step,
        routine: &Routine,
        name: &str,
    ) -> Result<Point3<f64>, Halt> {
        match routine.point(name) {
            Some(p) => Ok(p.at),
            None => self.cannot(step, say::not_taught(name)),
        }
    }

    /// The path from where the torch is, through a corner it may be rounding, to `to`.
    pub(super) fn way(&mut self, cell: &Cell, path: PathKind, to: Point3<f64>) -> Vec<Point3<f64>> {
        way(cell, (self.torch, self.corner.take()), path, to)
    }

    /// Goes to `to` at once where nothing tells of the way and nothing can be in it; whether it did.
    pub(super) fn skips_to(
        &mut self,
        cell: &Cell,
        path: PathKind,
        to: Point3<f64>,
        (kind, to_axis): (LegKind, Vector3<f64>),
    ) -> bool {
        if self.told || self.corner.is_some() {
            return false;
        }
        let (allow, leaning) = self.bearing(kind, to_axis);
        let ends = [&self.torch, &to];
        let clear = match path {
            PathKind::Joint => cell.clears_joint(ends, allow, &leaning),
            PathKind::Linear => cell.clears_linear(ends, allow, &leaning),
        };
        if clear {
            (self.torch, self.axis) = (to, to_axis);
        }
        clear
    }

    /// What the wire may touch on a way of this kind, and how the torch leans on it: on the way to a weld
    /// to its work angle, on the next way after it back.
    fn bearing(&self, kind: LegKind, to_axis: Vector3<f64>) -> (AllowedContact, Vector3<f64>) {
        match kind {
            LegKind::Travel => (AllowedContact::Nothing, self.axis),
            _ => (AllowedContact::WireOnPart, to_axis),
        }
    }

    /// Drives along `way`, leaning to `to_axis`, and writes the leg. A wire that meets something bends;
    /// the nozzle stops.
    pub(super) fn drive(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        mut way: Vec<Point3<f64>>,
        speed: f64,
        (kind, to_axis): (LegKind, Vector3<f64>),
    ) -> Result<(), Halt> {
        let (allow, leaning) = self.bearing(kind, to_axis);
        let met = cell.travel_leaning(&way, allow, &leaning);
        if let Some(hit) = &met.nozzle {
            way = polyline::head(&way, hit.along);
        }
        if let Some(hit) = met.wire {
            let time = self.log.duration + hit.along / speed;
            self.bent(step, cell, time, (hit.body, hit.at, hit.bend));
        }
        self.leg(step, way, speed, (kind, to_axis));
        match met.nozzle {
            Some(hit) => self.crashed(step, hit),
            None => Ok(()),
        }
    }

    /// The wire was bent further at this time, s: on which body, with the torch where, and by how much.
    pub(super) fn bent(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        time: f64,
        (body, at, by): (String, Point3<f64>, Vector3<f64>),
    ) {
        let bend = cell.wire.bend + by;
        self.set_wire(cell, time, Wire { bend, ..cell.wire });
        self.event_at(time, step.id, EventKind::WireBent { body, at, bend });
    }

    /// The wire is another from this time on, s.
    pub(super) fn set_wire(&mut self, cell: &mut Cell, time: f64, wire: Wire) {
        cell.wire = wire;
        if self.told {
            self.write().wire.push((time, wire));
        }
    }

    /// The nozzle ran into something where the torch now stands: the run stops.
    pub(super) fn crashed<T>(&mut self, step: &Step, hit: NozzleHit) -> Result<T, Halt> {
        self.event(step.id, EventKind::Crash { body: hit.body, at: self.torch });
        Err(Halt)
    }

    /// Writes a stretch of motion at whose end the torch leans along `to_axis`.
    pub(super) fn leg(
        &mut self,
        step: &Step,
        path: Vec<Point3<f64>>,
        speed: f64,
        (kind, to_axis): (LegKind, Vector3<f64>),
    ) {
        self.torch = path.last().copied().unwrap_or(self.torch);
        let axis = [std::mem::replace(&mut self.axis, to_axis), to_axis];
        if !self.told {
            return;
        }
        let start = self.log.duration;
        let end = start + polyline::length(&path) / speed;
        let follows = self.following.as_ref().map(|(name, _)| name.clone());
        let log = self.write();
        log.duration = end;
        log.legs.push(Leg { step: step.id, kind, time: [start, end], path, axis, follows });
    }

    /// A programmed speed as driven: in a run at reduced speed never above the limit.
    pub(super) fn capped(&self, programmed: f64) -> f64 {
        match self.options.speed {
            RunSpeed::Reduced => programmed.min(REDUCED_SPEED_MM_S),
            RunSpeed::Full => programmed,
        }
    }

    pub(super) fn event(&mut self, step: StepId, what: EventKind) {
        self.event_at(self.log.duration, step, what);
    }

    fn event_at(&mut self, time: f64, step: StepId, what: EventKind) {
        self.events += 1;
        if self.told {
            self.write().events.push(Event { time, step, what });
        }
    }

    pub(super) fn cannot<T>(&mut self, step: &Step, why: Sentence) -> Result<T, Halt> {
        self.event(step.id, EventKind::CannotDo { why });
        Err(Halt)
    }
}
