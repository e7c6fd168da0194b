use crate::data::{DataError, FromData, names, record, tagged, variants};
use crate::geometry::{Point3, Vector3};
use crate::locate::Freedoms;
use serde::{Serialize, Serializer};
use serde_json::{Map, Value};

/// The learner's routine: taught points, probe plans, and the ordered steps that use them.
///
/// A half-built routine is normal: steps may name points or plans that do not exist (yet); the
/// coach speaks of it, and a run stops there.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Routine {
    /// Taught torch positions, each name once.
    pub points: Vec<TaughtPoint>,
    /// Settings of each block of probing.
    pub plans: Vec<ProbePlan>,
    /// What is done, in order.
    pub steps: Vec<Step>,
}

record!(Routine { points: Vec::new(), plans: Vec::new(), steps: Vec::new() });

/// The name of the point that is home.
pub const HOME: &str = "home";

/// A named torch position: the lowest point of the wire, mm, in the frame of the part as it
/// lay when the reference was taken (the work frame, while no offset is followed).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TaughtPoint {
    /// The learner's own name for it.
    pub name: String,
    /// Where the wire tip is, mm.
    pub at: Point3<f64>,
}

record!(TaughtPoint { name, at });

/// Names a step for as long as it exists, wherever it is moved to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
#[serde(transparent)]
pub struct StepId(pub u32);

impl FromData for StepId {
    fn from_data(value: Value) -> Result<Self, DataError> {
        u32::from_data(value).map(Self)
    }
}

/// One entry of a routine.
///
/// In files one object: the id beside what the step does.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Its lasting number, unique in the routine.
    pub id: StepId,
    /// What it does.
    pub instruction: Instruction,
}

impl Serialize for Step {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let value = serde_json::to_value(&self.instruction).map_err(serde::ser::Error::custom)?;
        let mut map = if let Value::Object(map) = value { map } else { Map::new() };
        map.insert("id".into(), self.id.0.into());
        map.serialize(serializer)
    }
}

impl FromData for Step {
    fn from_data(value: Value) -> Result<Self, DataError> {
        let Value::Object(mut map) = value else { return Err(DataError::kind(&value, "a step")) };
        let id = map.remove("id").ok_or_else(|| DataError::new("missing field `id`"))?;
        Ok(Self {
            id: StepId::from_data(id)?,
            instruction: Instruction::from_data(Value::Object(map))?,
        })
    }
}

/// What a step does.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "do", rename_all = "snake_case")]
pub enum Instruction {
    /// Travel to a point.
    Move {
        /// Name of the point.
        to: String,
        /// The path there.
        path: PathKind,
        /// What happens at the point.
        corner: Corner,
    },
    /// From here on probe steps belong to this plan.
    BeginProbing {
        /// Name of the plan.
        plan: String,
    },
    /// Search from a point until the wire touches or the reach runs out.
    Probe {
        /// Name of the point the search is meant to start at.
        from: String,
        /// Search direction, unit length, in the frame of the part as taught.
        direction: Vector3<f64>,
        /// The learner's name for the face it is meant to touch; touches with one name share one line.
        face: String,
    },
    /// The plan's touches are complete: store them, or solve for the offset.
    FinishProbing,
    /// From here on points ride with the part on an offset.
    Follow {
        /// Name of the offset.
        offset: String,
    },
    /// From here on points are where they were taught.
    StopFollowing,
    /// Go straight to a point and strike the arc (or, in a trial, only go there).
    WeldStart {
        /// Name of the point.
        to: String,
    },
    /// Weld straight to a point and put out the arc.
    WeldEnd {
        /// Name of the point.
        to: String,
    },
}

tagged!(Instruction, "do" {
    Move "move" { to, path, corner: Corner::default() },
    BeginProbing "begin_probing" { plan },
    Probe "probe" { from, direction, face },
    FinishProbing "finish_probing" {},
    Follow "follow" { offset },
    StopFollowing "stop_following" {},
    WeldStart "weld_start" { to },
    WeldEnd "weld_end" { to },
});

/// The path of a travel move (ISO 8373: joint motion, straight-line motion).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PathKind {
    /// Whatever the arm makes of it: an arc about the arm's base.
    Joint,
    /// A straight line.
    Linear,
}

names!(PathKind { Joint: "joint", Linear: "linear" });

/// What the torch does when it reaches a point.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Corner {
    /// It comes to rest on the point.
    #[default]
    FullStop,
    /// It rounds the corner, leaving its path this far before the point, mm.
    Blend(f64),
}

variants!(Corner { Blend("blend"); FullStop "full_stop" {} });

/// The settings one block of probing uses.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ProbePlan {
    /// The learner's name for it.
    pub name: String,
    /// What the part may have done.
    pub freedoms: Freedoms,
    /// The reference flag. On: a run learns where the part is. Off: a run compares.
    pub reference: bool,
    /// Probing speed, mm/s.
    pub speed_mm_s: f64,
    /// Greatest length of a search, mm.
    pub reach_mm: f64,
    /// Name of the offset it fills.
    pub fills: String,
    /// Squareness residual above which the touches are to be doubted, mm.
    pub residual_limit_mm: f64,
}

record!(ProbePlan {
    name,
    freedoms,
    reference,
    speed_mm_s: DEFAULT_PROBING_SPEED_MM_S,
    reach_mm: DEFAULT_REACH_MM,
    fills,
    residual_limit_mm: DEFAULT_RESIDUAL_LIMIT_MM,
});

/// Probing speed of a new plan, mm/s (common practice, no source).
pub const DEFAULT_PROBING_SPEED_MM_S: f64 = 20.0;
/// Reach of a new plan, mm (common practice, no source).
pub const DEFAULT_REACH_MM: f64 = 30.0;
/// Residual limit of a new plan, mm: five times the default repeatability (common practice, no source).
pub const DEFAULT_RESIDUAL_LIMIT_MM: f64 = 0.5;

impl ProbePlan {
    /// A new plan as the form shows it: slide two ways, flag off, default speed and reach.
    pub fn new(name: &str, fills: &str) -> Self {
        Self {
            name: name.into(),
            freedoms: Freedoms::SlideTwo,
            reference: false,
            speed_mm_s: DEFAULT_PROBING_SPEED_MM_S,
            reach_mm: DEFAULT_REACH_MM,
            fills: fills.into(),
            residual_limit_mm: DEFAULT_RESIDUAL_LIMIT_MM,
        }
    }
}

impl Routine {
    /// The taught point of that name.
    pub fn point(&self, name: &str) -> Option<&TaughtPoint> {
        self.points.iter().find(|p| p.name == name)
    }

    /// The plan of that name.
    pub fn plan(&self, name: &str) -> Option<&ProbePlan> {
        self.plans.iter().find(|p| p.name == name)
    }

    /// Place of a step in the list, from 0.
    pub fn index_of(&self, id: StepId) -> Option<usize> {
        self.steps.iter().position(|s| s.id == id)
    }

    /// An id no step has yet.
    pub fn next_id(&self) -> StepId {
        StepId(self.steps.iter().map(|s| s.id.0).max().map_or(1, |m| m + 1))
    }
}

impl Instruction {
    /// The point the step goes to or starts from.
    pub fn point(&self) -> Option<&str> {
        match self {
            Self::Move { to, .. } | Self::WeldStart { to } | Self::WeldEnd { to } => Some(to),
            Self::Probe { from, .. } => Some(from),
            _ => None,
        }
    }

    /// The same, to point the step elsewhere.
    pub fn point_mut(&mut self) -> Option<&mut String> {
        match self {
            Self::Move { to, .. } | Self::WeldStart { to } | Self::WeldEnd { to } => Some(to),
            Self::Probe { from, .. } => Some(from),
            _ => None,
        }
    }

    /// Whether this is the move home.
    pub fn is_home(&self) -> bool {
        matches!(self, Self::Move { to, .. } if to == HOME)
    }
}
