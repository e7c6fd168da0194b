use super::log::{Event, EventKind, Leg, LegKind, RunEnd, RunKind, RunLog, RunSpeed};
use super::memory::Memory;
use super::probing::Block;
use super::steps::{Act, Corner, Path, Routine, Step, StepId};
use super::welding::OpenWeld;
use crate::cell::{Allow, Cell, Hit, REDUCED_SPEED, TorchPart};
use crate::geometry::{Point3, Pose, polyline};

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
    /// How far the part slips once its touches are made (a planted fault).
    pub slip: Option<Pose>,
}

/// A run under way: executes a routine step by step in a cell and writes the log.
///
/// It learns of the part by contacts alone. Between steps it can be set aside and taken up again.
#[derive(Debug, Clone)]
pub struct Runner {
    pub(super) options: RunOptions,
    /// The next step, as a place in the list: the list may have been edited during a pause.
    next: usize,
    /// Where the torch is: its own wire tip point, a bent wire's tip is elsewhere.
    pub(super) torch: Point3<f64>,
    /// The corner that the torch is rounding, if the last move blends: where it would have been.
    corner: Option<(Point3<f64>, f64)>,
    pub(super) block: Option<Block>,
    pub(super) following: Option<(String, Pose)>,
    pub(super) weld: Option<OpenWeld>,
    pub(super) log: RunLog,
}

/// A step that cannot be completed stops the run; the reason stands in the log already.
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
            block: None,
            following: None,
            weld: None,
            log,
        }
    }

    /// Does up to `steps` further steps, or all that remain.
    pub fn advance(
        &mut self,
        routine: &Routine,
        cell: &mut Cell,
        memory: &mut Memory,
        steps: Option<usize>,
    ) {
        let mut left = steps.unwrap_or(usize::MAX);
        while self.log.end.is_none() && left > 0 {
            let Some(step) = routine.steps.get(self.next) else {
                self.log.end = Some(RunEnd::Finished);
                break;
            };
            self.next += 1;
            left -= 1;
            if self.step(step, routine, cell, memory).is_err() {
                self.log.end = Some(RunEnd::Stopped { step: step.id });
            }
        }
        if self.log.end.is_none() && self.next >= routine.steps.len() {
            self.log.end = Some(RunEnd::Finished);
        }
        self.log.part_at_end = cell.work_from_part();
    }

    /// The log so far.
    pub fn log(&self) -> &RunLog {
        &self.log
    }

    /// Where the torch is, work frame, mm.
    pub fn torch(&self) -> Point3<f64> {
        self.torch
    }

    /// The offset that points are carried by at this moment.
    pub fn active_offset(&self) -> Option<Pose> {
        self.following.as_ref().map(|(_, pose)| *pose)
    }

    /// Place in the routine of the step that comes next.
    pub fn next_step(&self) -> usize {
        self.next
    }

    /// Notes that somebody moved the part while the run is paused.
    pub fn part_moved(&mut self, part: Pose) {
        let step = self.log.legs.last().map_or(StepId::default(), |l| l.step);
        self.log.part_at_end = part;
        self.event(step, EventKind::PartMoved);
    }

    fn step(
        &mut self,
        step: &Step,
        routine: &Routine,
        cell: &mut Cell,
        memory: &mut Memory,
    ) -> Result<(), Stop> {
        match &step.act {
            Act::Move { to, path, corner } => {
                let taught = self.taught(step, routine, to)?;
                let to = self.target(step, routine, to)?;
                let blend = match corner {
                    Corner::Blend(mm) if self.moves_on(routine) => *mm,
                    _ => 0.0,
                };
                self.travel(step, cell, *path, to, blend)?;
                if step.act.is_home() && self.following.is_some() {
                    let by_mm = (to - taught).norm();
                    self.event(step.id, EventKind::HomeCarried { by_mm });
                }
                Ok(())
            }
            Act::BeginProbing { plan } => self.begin_probing(step, routine, memory, cell, plan),
            Act::Probe { from, direction, face } => {
                self.target(step, routine, from)?;
                self.probe(step, routine, cell, direction, face)
            }
            Act::FinishProbing => self.finish_probing(step, routine, cell, memory),
            Act::Follow { offset } => {
                let Some(pose) = memory.offsets.get(offset) else {
                    let why = format!("offset {offset} has not been found yet");
                    return self.cannot(step, why);
                };
                self.following = Some((offset.clone(), *pose));
                self.event(step.id, EventKind::FollowBegins { offset: offset.clone() });
                Ok(())
            }
            Act::StopFollowing => {
                if self.following.take().is_some() {
                    self.event(step.id, EventKind::FollowEnds);
                }
                Ok(())
            }
            Act::WeldStart { to } => {
                let taught = self.taught(step, routine, to)?;
                let to = self.target(step, routine, to)?;
                self.travel_welding(step, cell, to)?;
                self.weld_starts(step, cell, taught);
                Ok(())
            }
            Act::WeldEnd { to } => {
                let taught = self.taught(step, routine, to)?;
                let to = self.target(step, routine, to)?;
                self.weld_ends(step, cell, taught, to)
            }
        }
    }

    /// Where the step's point is for the torch now: carried, while an offset is followed.
    fn target(&mut self, step: &Step, routine: &Routine, name: &str) -> Result<Point3<f64>, Stop> {
        let taught = self.taught(step, routine, name)?;
        Ok(self.active_offset().map_or(taught, |pose| pose.point(&taught)))
    }

    fn taught(&mut self, step: &Step, routine: &Routine, name: &str) -> Result<Point3<f64>, Stop> {
        match routine.point(name) {
            Some(p) => Ok(p.at),
            None => self.cannot(step, format!("point {name} has not been taught")),
        }
    }

    /// Whether any later step moves the torch; a blend needs somewhere to go on to.
    fn moves_on(&self, routine: &Routine) -> bool {
        routine.steps[self.next..].iter().any(|s| s.act.point().is_some())
    }

    /// A travel move; with `blend` the torch leaves the path that far before its end.
    fn travel(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        path: Path,
        to: Point3<f64>,
        blend: f64,
    ) -> Result<(), Stop> {
        let mut way = self.way(cell, path, to);
        let keep = (polyline::length(&way) - blend).max(polyline::length(&way) / 2.0);
        if blend > 0.0 {
            way = polyline::head(&way, keep);
        }
        let speed = self.capped(cell.settings().travel_mm_s);
        self.drive(step, cell, way, speed, LegKind::Travel)?;
        self.corner = (blend > 0.0).then_some((to, blend));
        Ok(())
    }

    fn travel_welding(
        &mut self,
        step: &Step,
        cell: &mut Cell,
        to: Point3<f64>,
    ) -> Result<(), Stop> {
        let way = self.way(cell, Path::Linear, to);
        let speed = self.capped(cell.settings().travel_mm_s);
        // The wire may meet the part here: this is where it is meant to.
        self.drive(step, cell, way, speed, LegKind::ToWeld)
    }

    /// The path from where the torch is, through a corner it may be rounding, to `to`.
    pub(super) fn way(&mut self, cell: &Cell, path: Path, to: Point3<f64>) -> Vec<Point3<f64>> {
        let leg = |from: Point3<f64>| match path {
            Path::Joint => cell.joint_path(&from, &to),
            Path::Linear => vec![from, to],
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
        let allow = if kind == LegKind::Travel { Allow::Nothing } else { Allow::WireOnPart };
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
    pub(super) fn crashed(&mut self, step: &Step, cell: &mut Cell, hit: Hit) -> Result<(), Stop> {
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
        self.log.duration = end;
        let follows = self.following.as_ref().map(|(name, _)| name.clone());
        self.log.legs.push(Leg { step: step.id, kind, time: [start, end], path, follows });
    }

    /// A programmed speed as driven: in a run at reduced speed never above the limit.
    pub(super) fn capped(&self, programmed: f64) -> f64 {
        match self.options.speed {
            RunSpeed::Reduced => programmed.min(REDUCED_SPEED),
            RunSpeed::Full => programmed,
        }
    }

    pub(super) fn event(&mut self, step: StepId, what: EventKind) {
        self.log.events.push(Event { time: self.log.duration, step, what });
    }

    pub(super) fn cannot<T>(&mut self, step: &Step, why: String) -> Result<T, Stop> {
        self.event(step.id, EventKind::CannotDo { why });
        Err(Stop)
    }
}
