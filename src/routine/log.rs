use super::steps::StepId;
use crate::cell::{SeamMiss, TorchPart};
use crate::geometry::{Point3, Pose, Vector3, polyline};
use crate::locate::{Fit, Freedoms};
use serde::{Deserialize, Serialize};

/// Everything that happened in one run, in order of time. The sheet, the time line, the readings
/// table, the coach and the command line all read this and nothing else.
#[derive(Debug, Clone, PartialEq)]
pub struct RunLog {
    /// Number of the run in its session, from 1.
    pub number: usize,
    /// Reference, proof or production, by the reference flag of the first plan it began.
    pub kind: RunKind,
    /// At which speed.
    pub speed: RunSpeed,
    /// Whether the arc was on.
    pub arc: bool,
    /// Where the part truly lay when the run began: `work_from_part`.
    pub part: Pose,
    /// Where it truly lay when the run ended, `work_from_part`; differs if it was moved in between.
    pub part_at_end: Pose,
    /// Every stretch of motion.
    pub legs: Vec<Leg>,
    /// Every search, in order.
    pub searches: Vec<Search>,
    /// The result of each finished block of probing.
    pub solutions: Vec<Solution>,
    /// Every weld, in order.
    pub welds: Vec<WeldTrace>,
    /// The events, in order of time.
    pub events: Vec<Event>,
    /// How it ended; `None` while it is paused.
    pub end: Option<RunEnd>,
    /// Time from the start to the end or the pause, s.
    pub duration: f64,
}

impl RunLog {
    /// Where the torch was at a time, s; where it began or ended outside the run.
    pub fn torch_at(&self, time: f64) -> Option<Point3<f64>> {
        let leg = self.leg_at(time)?;
        let [t0, t1] = leg.time;
        let share = if t1 > t0 { ((time - t0) / (t1 - t0)).clamp(0.0, 1.0) } else { 1.0 };
        Some(polyline::point_at(&leg.path, share * polyline::length(&leg.path)))
    }

    /// The step under way at a time, s.
    pub fn step_at(&self, time: f64) -> Option<StepId> {
        self.leg_at(time).map(|leg| leg.step)
    }

    /// The stretch of motion under way at a time, s: the first that has not ended, else the last.
    pub fn leg_at(&self, time: f64) -> Option<&Leg> {
        let i = self.legs.partition_point(|leg| leg.time[1] < time);
        self.legs.get(i).or(self.legs.last())
    }

    /// Whether every step was done.
    pub fn finished(&self) -> bool {
        self.end == Some(RunEnd::Finished)
    }

    /// The largest seam miss of the run's welds, by size, with its sign, mm.
    pub fn worst_miss(&self) -> Option<f64> {
        let misses = self.welds.iter().map(|w| w.worst_mm);
        misses.max_by(|a, b| a.abs().total_cmp(&b.abs()))
    }

    /// Whether the run finished and every weld in it landed; false where nothing was welded.
    pub fn landed(&self) -> bool {
        self.finished() && !self.welds.is_empty() && self.welds.iter().all(|w| w.landed)
    }

    /// The last motion found for an offset.
    pub fn fit(&self) -> Option<&Fit> {
        self.solutions.iter().rev().find_map(|s| match &s.outcome {
            SolutionOutcome::Found { located } => Some(&**located),
            _ => None,
        })
    }
}

/// What a run was for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RunKind {
    /// Flag on: it stored the reference.
    Reference,
    /// Flag off, the first since the reference, and the part not moved since.
    Proof,
    /// Flag off.
    Production,
    /// Without any probing: the routine has none, or the run stopped before it.
    Plain,
}

/// How fast a run is driven.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RunSpeed {
    /// No faster than [`crate::cell::REDUCED_SPEED_MM_S`].
    Reduced,
    /// As programmed.
    Full,
}

/// One stretch of motion at one speed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Leg {
    /// The step that made it.
    pub step: StepId,
    /// What it was.
    pub kind: LegKind,
    /// When it began and ended, s.
    pub time: [f64; 2],
    /// Where the torch's own wire tip point went (a bent wire's tip is elsewhere), work frame, mm.
    /// The torch moves along it at even speed.
    pub path: Vec<Point3<f64>>,
    /// Name of the offset it was carried by.
    pub follows: Option<String>,
}

/// What a stretch of motion is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LegKind {
    /// A joint or linear move.
    Travel,
    /// A search.
    Search,
    /// The last stretch to a weld start, where the wire may meet the part.
    ToWeld,
    /// A weld, arc on or, in a trial, off.
    Weld,
}

/// One search and its outcome.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Search {
    /// The probe step.
    pub step: StepId,
    /// The plan it belongs to; `None` outside a block of probing.
    pub plan: Option<String>,
    /// Name of the face it is meant for.
    pub face: String,
    /// Where the search really started, work frame, mm.
    pub start: Point3<f64>,
    /// Its direction in the work frame, unit length.
    pub direction: Vector3<f64>,
    /// When it ended, s.
    pub time: f64,
    /// What came of it.
    pub outcome: SearchOutcome,
}

/// How a search ended.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "found", rename_all = "snake_case")]
pub enum SearchOutcome {
    /// The wire touched.
    Touch {
        /// Where the wire tip truly was at contact, work frame, mm.
        contact: Point3<f64>,
        /// Where the controller believes it was: contact plus delay and noise, work frame, mm.
        reading: Point3<f64>,
        /// What it touched.
        body: String,
        /// The surface's outward normal there, work frame, unit length.
        normal: Vector3<f64>,
    },
    /// Nothing within reach.
    Nothing,
    /// The wire was touching before the search began.
    AlreadyTouching {
        /// What it touched.
        body: String,
    },
}

/// The result of a finished block of probing.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// The finish-probing step.
    pub step: StepId,
    /// The plan.
    pub plan: String,
    /// The offset it fills.
    pub offset: String,
    /// What the plan let the part do.
    pub freedoms: Freedoms,
    /// When, s.
    pub time: f64,
    /// What came of it.
    pub outcome: SolutionOutcome,
}

/// The result of a finished block of probing.
#[derive(Debug, Clone, PartialEq)]
pub enum SolutionOutcome {
    /// The flag was on: the touches were stored, the offset is no motion.
    ReferenceStored,
    /// The offset was found.
    Found {
        /// The motion from the reference part, its covariance and residuals.
        located: Box<Fit>,
    },
    /// It could not be found.
    Refused {
        /// Stable code of the reason.
        code: String,
        /// The reason, for the learner.
        message: String,
    },
}

/// Where a weld landed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WeldTrace {
    /// The weld-end step.
    pub step: StepId,
    /// The seam it was meant for: the one nearest to the taught weld points.
    pub seam: String,
    /// Where the real wire tip was at the start and at the end, work frame, mm.
    pub wire: [Point3<f64>; 2],
    /// Seam miss at the start and at the end.
    pub miss: [SeamMiss; 2],
    /// The larger of the two across, with its sign, mm. Both lines are straight, so the worst
    /// place is always an end.
    pub worst_mm: f64,
    /// Allowed either way, mm.
    pub tolerance_mm: f64,
    /// Whether it landed: every end within tolerance, across and in height.
    pub landed: bool,
}

/// Something worth telling.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Event {
    /// When, s from the start of the run.
    pub time: f64,
    /// During which step.
    pub step: StepId,
    /// What.
    #[serde(flatten)]
    pub what: EventKind,
}

/// What happened.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "event", rename_all = "snake_case")]
pub enum EventKind {
    /// The wire or the nozzle ran into something outside a search. The run stops.
    Crash {
        /// What of the torch.
        hit_by: TorchPart,
        /// What it ran into.
        body: String,
        /// The torch point there, work frame, mm.
        at: Point3<f64>,
    },
    /// The wire is bent from now on.
    WireBent {
        /// From where its tip should be to where it is, work frame, mm.
        bend: Vector3<f64>,
    },
    /// A search touched.
    Touched {
        /// Its number among the run's searches, from 0.
        search: usize,
    },
    /// A search found nothing, or was touching already. The run stops.
    SearchFailed {
        /// Its number among the run's searches, from 0.
        search: usize,
    },
    /// The reference was stored; `overwrote` if there was one before.
    ReferenceStored {
        /// The plan.
        plan: String,
        /// Whether an earlier one was lost.
        overwrote: bool,
    },
    /// An offset was found.
    OffsetFound {
        /// Its name.
        offset: String,
    },
    /// An offset could not be found. The run stops.
    OffsetRefused {
        /// The plan.
        plan: String,
        /// Why.
        message: String,
    },
    /// From now on points move with the part.
    FollowBegins {
        /// The offset.
        offset: String,
    },
    /// From now on points are where they were taught.
    FollowEnds,
    /// The torch went home while following: this far from home, mm.
    HomeCarried {
        /// Distance from home, mm.
        by_mm: f64,
    },
    /// The arc was struck.
    ArcOn,
    /// The arc was put out.
    ArcOff,
    /// The part was moved while the run was under way.
    PartMoved,
    /// The step cannot be done. The run stops.
    CannotDo {
        /// Why, for the learner.
        why: String,
    },
}

/// How a run ended.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "end", rename_all = "snake_case")]
pub enum RunEnd {
    /// Every step was done.
    Finished,
    /// It stopped at a step, for the reason the last event gives.
    Stopped {
        /// The step.
        step: StepId,
    },
}
