use super::log::{Event, EventKind, Leg, LegKind, RunKind, RunLog, RunSpeed};
use super::memory::ReferenceTouch;
use super::steps::{PathKind, Routine, Step, StepId};
use crate::cell::{AllowedContact, Cell, Crash, REDUCED_SPEED_MM_S, TorchPart};
use crate::geometry::{Point3, Pose, polyline};
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
    /// Probing speed that overrides the plans' own while the flag is off, mm/s (a planted fault).
    pub probing_speed: Option<f64>,
    /// How the part slips once its touches are made: from where it lay to where it then lies, work
    /// frame, mm and radians (a planted fault).
    pub slip: Option<Pose>,
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
    /// If the last move blends: the point that the torch is rounding, and how far before it the
    /// torch left its path, mm.
    pub(super) corner: Option<(Point3<f64>, f64)>,
    pub(super) probing: Option<OpenProbing>,
    pub(super) following: Option<(String, Pose)>,
    pub(super) weld: Option<OpenWeld>,
    /// Shared with the readers of a paused run.
    pub(super) log: Arc<RunLog>,
}

/// Touches made since *begin probing*.
#[derive(Debug, Clone)]
pub(super) struct OpenProbing {
    /// Name of the plan.
    pub(super) plan: String,
    /// In the order in which they were made.
    pub(super) touches: Vec<OpenTouch>,
}

/// One of them.
#[derive(Debug, Clone)]
pub(super) struct OpenTouch {
    pub(super) stored: ReferenceTouch,
    /// The learner's name for the face.
    pub(super) face: String,
}

/// A weld that has been started and not ended.
#[derive(Debug, Clone)]
pub(super) struct OpenWeld {
    /// The taught start, work frame, mm.
    pub(super) taught: Point3<f64>,
    /// Where the wire tip was once the arc burned, in a trial as it came; work frame, mm.
    pub(super) wire: Point3<f64>,
}

/// A step that cannot be completed stops the run; the reason is in the log already.
pub(super) struct Stop;

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
            probing: None,
            following: None,
            weld: None,
            log: Arc::new(log),
        }
    }

    /// The log, for writing; copied first if it is shared.
    pub(super) fn write(&mut self) -> &mut RunLog {
        Arc::make_mut(&mut self.log)
    }

    /// The log so far.
    pub fn log(&self) -> &Arc<RunLog> {
        &self.log
    }

    /// Where the torch is, work frame, mm.
    pub fn torch(&self) -> Point3<f64> {
        self.torch
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
        let step = self.log.legs.last().map_or(StepId::default(), |l| l.step);
        self.write().part_at_end = part;
        // Moved again before the torch moves on: that is told already.
        let told = |e: &Event| e.what == EventKind::PartMoved && e.time == self.log.duration;
        if !self.log.events.last().is_some_and(told) {
            self.event(step, EventKind::PartMoved);
        }
    }

    /// Where the step's point is for the torch now: carried, while an offset is followed.
    pub(super) fn target(
        &mut self,
        step: &Step,
        routine: &Routine,
        name: &str,
    ) -> Result<Point3<f64>, Stop> {
        let taught = self.taught(step, routine, name)?;
        Ok(self.active_offset().map_or(taught, |pose| pose.point(&taught)))
    }

    pub(super) fn taught(
        &mut self,
        step: &Step,
        routine: &Routine,
        name: &str,
    ) -> Result<Point3<f64>, Stop> {
        match routine.point(name) {
            Some(p) => Ok(p.at),
            None => self.cannot(step, format!("point {name} has not been taught")),
        }
    }

    /// The path from where the torch is, through a corner it may be rounding, to `to`.
    pub(super) fn way(&mut self, cell: &Cell, path: PathKind, to: Point3<f64>) -> Vec<Point3<f64>> {
        let leg = |from: Point3<f64>| match path {
            PathKind::Joint => cell.joint_path(&from, &to),
            PathKind::Linear => vec![from, to],
        };
        let Some((corner, blend)) = self.corner.take() else { return leg(self.torch) };
        let straight = leg(corner);
        let join = blend.min(polyline::length(&straight) / 2.0);
        let mut way = polyline::rounding(self.torch, corner, polyline::point_at(&straight, join));
        way.extend(polyline::tail(&straight, join).into_iter().skip(1));
        way
    }

    /// Forgets a corner: the torch has come to rest where it is.
    pub(super) fn rest_here(&mut self) {
        self.corner = None;
    }

    /// Drives along `way` and writes the leg; stops at the first crash.
    pub(super) fn drive(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        mut way: Vec<Point3<f64>>,
        speed: f64,
        kind: LegKind,
    ) -> Result<(), Stop> {
        let allow = if kind == LegKind::Travel {
            AllowedContact::Nothing
        } else {
            AllowedContact::WireOnPart
        };
        let hit = cell.travel(&way, allow);
        if let Some(hit) = &hit {
            way = polyline::head(&way, hit.along);
        }
        self.leg(step, way, speed, kind);
        match hit {
            Some(hit) => self.crashed(step, cell, hit),
            None => Ok(()),
        }
    }

    /// The torch ran into something where it now stands: the wire is bent, the run stops.
    pub(super) fn crashed(&mut self, step: &Step, cell: &mut Cell, hit: Crash) -> Result<(), Stop> {
        self.event(step.id, EventKind::Crash { hit_by: hit.by, body: hit.body, at: self.torch });
        if hit.by == TorchPart::Wire {
            cell.wire.bend += hit.bend;
            self.event(step.id, EventKind::WireBent { bend: cell.wire.bend });
        }
        Err(Stop)
    }

    pub(super) fn leg(&mut self, step: &Step, path: Vec<Point3<f64>>, speed: f64, kind: LegKind) {
        let start = self.log.duration;
        let end = start + polyline::length(&path) / speed;
        self.torch = path.last().copied().unwrap_or(self.torch);
        let follows = self.following.as_ref().map(|(name, _)| name.clone());
        let log = self.write();
        log.duration = end;
        log.legs.push(Leg { step: step.id, kind, time: [start, end], path, follows });
    }

    /// A programmed speed as driven: in a run at reduced speed never above the limit.
    pub(super) fn capped(&self, programmed: f64) -> f64 {
        match self.options.speed {
            RunSpeed::Reduced => programmed.min(REDUCED_SPEED_MM_S),
            RunSpeed::Full => programmed,
        }
    }

    pub(super) fn event(&mut self, step: StepId, what: EventKind) {
        let time = self.log.duration;
        self.write().events.push(Event { time, step, what });
    }

    pub(super) fn cannot<T>(&mut self, step: &Step, why: String) -> Result<T, Stop> {
        self.event(step.id, EventKind::CannotDo { why });
        Err(Stop)
    }
}
