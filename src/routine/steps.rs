use crate::geometry::{Point3, Vector3};
use crate::io::{beside, internally_tagged, xyz};
use crate::locate::Freedoms;
use serde::{Deserialize, Deserializer, Serialize};
use std::collections::BTreeSet;

/// The learner's routine: taught points, probe plans, and the ordered steps that use them.
///
/// A half-built routine is normal: steps may name points or plans that do not exist (yet); the
/// coach reports it, and a run stops there.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Routine {
    /// Taught torch positions, each name once.
    pub points: Vec<TaughtPoint>,
    /// Settings of each block of probing.
    pub plans: Vec<ProbePlan>,
    /// What is done, in order.
    pub steps: Vec<Step>,
}

/// The name of the point that is home.
pub const HOME: &str = "home";

/// A named torch position: the lowest point of the wire, mm, in the frame of the part as it
/// lay when the reference was taken (the work frame, while no offset is followed).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TaughtPoint {
    /// The learner's own name for it.
    pub name: String,
    /// Where the wire tip is, mm.
    #[serde(deserialize_with = "xyz")]
    pub at: Point3<f64>,
}

/// Names a step for as long as it exists, wherever it is moved to.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct StepId(pub u32);

/// One entry of a routine.
///
/// In files one object: the id beside what the step does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// Its lasting number, unique in the routine.
    pub id: StepId,
    /// What it does.
    #[serde(flatten)]
    pub instruction: Instruction,
}

impl<'de> Deserialize<'de> for Step {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let (id, instruction) = beside(deserializer, "id")?;
        Ok(Self { id, instruction })
    }
}

/// What a step does.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self", rename_all = "snake_case", deny_unknown_fields)]
pub enum Instruction {
    /// Travel to a point.
    Move {
        /// Name of the point.
        to: String,
        /// The path there.
        path: PathKind,
        /// What happens at the point.
        #[serde(default)]
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
        #[serde(deserialize_with = "xyz")]
        direction: Vector3<f64>,
        /// The learner's name for the face it is meant to touch; touches with one name share one line.
        face: String,
    },
    /// The plan's touches are complete: store them, or solve for the offset.
    FinishProbing,
    /// From here on points move with the part, by an offset.
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

internally_tagged!(Instruction, "do");

/// The path of a travel move (ISO 8373: joint motion, straight-line motion).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PathKind {
    /// All joints move at once; here an arc about the base of the arm.
    Joint,
    /// A straight line.
    Linear,
}

/// What the torch does when it reaches a point.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Corner {
    /// It stops on the point.
    #[default]
    FullStop,
    /// It rounds the corner, and leaves its path this far before the point, mm.
    Blend(f64),
}

/// The settings one block of probing uses.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ProbePlan {
    /// The learner's name for it.
    pub name: String,
    /// What the part may have done.
    pub freedoms: Freedoms,
    /// The reference flag. On: a run learns where the part is. Off: a run compares.
    pub reference: bool,
    /// Probing speed, mm/s.
    #[serde(default = "probing_speed")]
    pub speed_mm_s: f64,
    /// Greatest length of a search, mm.
    #[serde(default = "reach")]
    pub reach_mm: f64,
    /// Name of the offset it fills.
    pub fills: String,
    /// Squareness residual above which the touches are to be doubted, mm.
    #[serde(default = "residual_limit")]
    pub residual_limit_mm: f64,
}

/// Probing speed of a new plan, mm/s (common practice, no source).
pub const DEFAULT_PROBING_SPEED_MM_S: f64 = 20.0;
/// Reach of a new plan, mm (common practice, no source).
pub const DEFAULT_REACH_MM: f64 = 30.0;
/// Residual limit of a new plan, mm: five times the default repeatability (common practice, no source).
pub const DEFAULT_RESIDUAL_LIMIT_MM: f64 = 0.5;

fn probing_speed() -> f64 {
    DEFAULT_PROBING_SPEED_MM_S
}

fn reach() -> f64 {
    DEFAULT_REACH_MM
}

fn residual_limit() -> f64 {
    DEFAULT_RESIDUAL_LIMIT_MM
}

impl ProbePlan {
    /// A new plan as the form shows it: X and Y, flag off, default speed and reach.
    pub fn new(name: &str, fills: &str) -> Self {
        Self {
            name: name.into(),
            freedoms: Freedoms::SLIDE_XY,
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

    /// Names of the points at which a weld starts or ends.
    pub fn weld_points(&self) -> BTreeSet<&str> {
        let of_weld = |s: &&Step| {
            matches!(s.instruction, Instruction::WeldStart { .. } | Instruction::WeldEnd { .. })
        };
        self.steps.iter().filter(of_weld).filter_map(|s| s.instruction.point()).collect()
    }

    /// The plans that the routine probes with, as often as it begins to.
    pub fn plans_in_use(&self) -> impl Iterator<Item = &ProbePlan> {
        self.steps.iter().filter_map(|s| match &s.instruction {
            Instruction::BeginProbing { plan } => self.plan(plan),
            _ => None,
        })
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

    /// Every name in it: of a point, a plan, an offset, a face.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        let other = match self {
            Self::BeginProbing { plan: name }
            | Self::Probe { face: name, .. }
            | Self::Follow { offset: name } => Some(name.as_str()),
            _ => None,
        };
        self.point().into_iter().chain(other)
    }

    /// The point the step goes to or starts from, to point it elsewhere.
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
