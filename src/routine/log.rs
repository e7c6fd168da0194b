use super::steps::StepId;
use crate::cell::{SeamMiss, Wire};
use crate::geometry::{Point3, Pose, Vector3, polyline};
use crate::locate::{Fit, Freedoms};
use crate::text::Sentence;
use serde::{Deserialize, Serialize};

/// Everything that happened in one run, in order of time. The sheet, the time line, the readings
/// table, the coach and the command line all read this and nothing else.
#[derive(Debug, Clone, PartialEq)]
pub struct RunLog {
    /// Number of the run in its session, from 1.
    pub number: usize,
    /// What it was for, as far as its operator knows.
    pub kind: RunKind,
    /// At which speed.
    pub speed: RunSpeed,
    /// Whether the arc was on.
    pub arc: bool,
    /// Where the part truly lay when the run began: `work_from_part`.
    pub part: Pose,
    /// Where it truly lay when the run ended, `work_from_part`; differs if it was moved in between.
    pub part_at_end: Pose,
    /// The wire, from each of these times on, s; the first is 0.
    pub wire: Vec<(f64, Wire)>,
    /// Every stretch of motion.
    pub legs: Vec<Leg>,
    /// Every search, in order.
    pub searches: Vec<Search>,
    /// The result of each find, in order.
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
        Some(polyline::point_at(&leg.path, leg.share_at(time) * polyline::length(&leg.path)))
    }

    /// Axis of the torch at a time, s, from the wire tip up; work frame, unit length. Upright where
    /// there is no motion.
    pub fn axis_at(&self, time: f64) -> Vector3<f64> {
        let Some(leg) = self.leg_at(time) else { return Vector3::z() };
        let share = leg.share_at(time);
        let [from, to] = leg.axis;
        (from * (1.0 - share) + to * share).try_normalize(1e-9).unwrap_or(to)
    }

    /// The wire at a time, s.
    pub fn wire_at(&self, time: f64) -> Wire {
        let i = self.wire.partition_point(|(from, _)| *from <= time);
        self.wire[i.saturating_sub(1)].1
    }

    /// The wire with which a search was made.
    pub fn wire_before(&self, search: &Search) -> Wire {
        let is_it = |l: &&Leg| {
            l.step == search.step && l.kind == LegKind::Search && l.time[1] <= search.time
        };
        let leg = self.legs.iter().rfind(is_it);
        self.wire_at(leg.map_or(search.time, |l| l.time[0]))
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

    /// Whether it came to its end or stopped by itself.
    pub fn is_over(&self) -> bool {
        matches!(self.end, Some(RunEnd::Finished | RunEnd::Stopped { .. }))
    }

    /// The event that stopped it.
    pub fn stop(&self) -> Option<&Event> {
        let stops = |e: &&Event| {
            matches!(
                e.what,
                EventKind::Crash { .. }
                    | EventKind::SearchFailed { .. }
                    | EventKind::PlaceNotFound { .. }
                    | EventKind::CannotDo { .. }
            )
        };
        self.events.iter().rfind(stops)
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

    /// The last place found: its fit, and its offset, work frame, mm and radians.
    pub fn found(&self) -> Option<(&Fit, Pose)> {
        self.places_found().next_back().map(|(_, fit, offset)| (fit, offset))
    }

    /// The offset of a place as it was found last, work frame, mm and radians.
    pub fn offset_of(&self, place: &str) -> Option<Pose> {
        self.places_found().rfind(|(s, ..)| s.place == place).map(|(_, _, offset)| offset)
    }

    /// The place that was followed at a time, s.
    fn followed_at(&self, time: f64) -> Option<&str> {
        let before = self.events.iter().take_while(|event| event.time <= time);
        before.fold(None, |followed, event| match &event.what {
            EventKind::FollowBegins { place } => Some(place),
            EventKind::FollowEnds => None,
            _ => followed,
        })
    }

    /// Every place found, in the order of the finds: its fit, and its offset.
    fn places_found(&self) -> impl DoubleEndedIterator<Item = (&Solution, &Fit, Pose)> {
        self.solutions.iter().filter_map(|s| match &s.outcome {
            SolutionOutcome::Found { located, offset } => Some((s, &**located, *offset)),
            _ => None,
        })
    }

    /// Standard deviation of where the two ends of a weld lie across the wire, by the last find of the place
    /// that the weld followed, mm; `None` if it followed none, or one that was not found in this run.
    pub fn sigma_of(&self, weld: &WeldTrace) -> Option<[f64; 2]> {
        let leg = self.legs.iter().rfind(|l| l.step == weld.step && l.kind == LegKind::Weld)?;
        let place = self.followed_at(leg.time[0])?;
        let found = |s: &Solution| s.place == place && s.time <= leg.time[0];
        let (_, fit, offset) = self.places_found().rfind(|(s, ..)| found(s))?;
        let along = weld.wire[1] - weld.wire[0];
        // Back to where it was taught, by the whole offset: the fit may be a correction of another's.
        let back = offset.inverse();
        let across = back.vector(&along.cross(&leg.axis[1]).try_normalize(1e-9)?);
        Some(weld.wire.map(|end| fit.sigma_towards(&back.point(&end), &across)))
    }
}

/// What a run was for, as far as its operator knows: a part that was moved in secret does not show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RunKind {
    /// Flag on: it stored the reference.
    Reference,
    /// Flag off, and the part not moved since the reference.
    Proof,
    /// Flag off, on a moved part, without arc.
    Dry,
    /// Flag off, on a moved part, with the arc on.
    Production,
    /// Without feeling for anything: the routine does not, or the run stopped before it.
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
    /// Axis of the torch at its beginning and end, from the wire tip up; work frame, unit length. It
    /// turns evenly in between.
    pub axis: [Vector3<f64>; 2],
    /// Name of the place it followed.
    pub follows: Option<String>,
}

impl Leg {
    /// How much of it is done at a time, s: 0 to 1.
    fn share_at(&self, time: f64) -> f64 {
        let [from, to] = self.time;
        if to > from { ((time - from) / (to - from)).clamp(0.0, 1.0) } else { 1.0 }
    }
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
    /// The feel.
    pub step: StepId,
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
    /// The wire carried no voltage, or the work lead was off: it met something, felt nothing, and was
    /// bent.
    NotFelt {
        /// What it met.
        body: String,
    },
}

/// The result of a find.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// The find.
    pub step: StepId,
    /// The place.
    pub place: String,
    /// What the part may have done.
    pub may: Freedoms,
    /// When, s.
    pub time: f64,
    /// What came of it.
    pub outcome: SolutionOutcome,
}

/// What came of a find.
#[derive(Debug, Clone, PartialEq)]
pub enum SolutionOutcome {
    /// The flag was on: the touches were stored; the place is where it was taught.
    ReferenceStored,
    /// The place was found.
    Found {
        /// The motion from the reference part, its covariance and residuals, as seen from the place
        /// that was followed: there it is a correction.
        located: Box<Fit>,
        /// The whole offset of the place, work frame, mm and radians.
        offset: Pose,
    },
    /// It could not be found.
    Refused {
        /// Stable code of the reason.
        code: &'static str,
        /// The reason, for the learner.
        why: Sentence,
    },
}

/// Where one straight stretch of a weld landed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WeldTrace {
    /// The step that ended it: weld through or weld end.
    pub step: StepId,
    /// The seam it was meant for: the one nearest to the taught points.
    pub seam: String,
    /// Whether it came to its end. If not, the run stopped on the way, and its end is where it stopped.
    pub whole: bool,
    /// Where the real wire tip was at the start and at the end, work frame, mm.
    pub wire: [Point3<f64>; 2],
    /// Seam miss at the start and at the end; along the seam against the end that it was meant for.
    pub miss: [SeamMiss; 2],
    /// The larger of the two across the wire, with its sign, mm. Both lines are straight, so the
    /// worst place is always an end.
    pub worst_mm: f64,
    /// Allowed either way, mm.
    pub tolerance_mm: f64,
    /// Whether it landed as far as it came: both ends within tolerance across the wire, at a
    /// tip-to-work distance with which the arc still welds.
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
    /// The nozzle ran into something: the collision sensor trips, and the run stops.
    Crash {
        /// What it ran into.
        body: String,
        /// The torch point there, work frame, mm.
        at: Point3<f64>,
    },
    /// The wire is bent from now on; the run goes on.
    WireBent {
        /// What bent it.
        body: String,
        /// The torch point there, work frame, mm.
        at: Point3<f64>,
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
    /// The wire carries sensing voltage from now on.
    SensingOn,
    /// The voltage is off.
    SensingOff,
    /// The reference was stored; `overwrote` if there was one before.
    ReferenceStored {
        /// The place.
        place: String,
        /// Whether an earlier one was lost.
        overwrote: bool,
    },
    /// A place was found.
    PlaceFound {
        /// Its name.
        place: String,
    },
    /// A place could not be found. The run stops.
    PlaceNotFound {
        /// Its name.
        place: String,
        /// Why.
        why: Sentence,
    },
    /// From now on points ride with a place.
    FollowBegins {
        /// The place.
        place: String,
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
    /// The wire was cut at the wire cutter: straight, at the set stick-out.
    WireTrimmed,
    /// The part was moved while the run was under way.
    PartMoved,
    /// The step cannot be done. The run stops.
    CannotDo {
        /// Why, for the learner.
        why: Sentence,
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
    /// It was paused, and given up.
    GivenUp,
}
