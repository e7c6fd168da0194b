use crate::geometry::{Point3, Vector3};
use crate::io::{beside, internally_tagged, xyz};
use crate::locate::Freedoms;
use serde::{Deserialize, Deserializer, Serialize};
use std::collections::BTreeSet;

/// The learner's routine: taught points, and the ordered steps that use them.
///
/// A half-built routine is normal: steps may name points or places that do not exist (yet); the
/// coach reports it, and a run stops there.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Routine {
    /// Taught torch positions, each name once.
    pub points: Vec<TaughtPoint>,
    /// What is done, in order.
    pub steps: Vec<Step>,
}

/// The name of the point that is home.
pub const HOME: &str = "home";

/// A named torch position: the lowest point of the wire, mm, in the frame of the part as it
/// lay when the reference was taken (the work frame, while no place is followed).
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
        /// How the torch gets there.
        way: PathKind,
        /// What happens at the point.
        #[serde(default)]
        stop: Stop,
    },
    /// The wire carries sensing voltage: from here on a touch is felt.
    SensingOn {
        /// Speed of the searches, mm/s.
        #[serde(default = "sensing_speed")]
        speed_mm_s: f64,
        /// Greatest length of a search, mm.
        #[serde(default = "reach")]
        reach_mm: f64,
    },
    /// Get to a point and stop, then search from there in a straight line until the wire touches or
    /// the reach runs out.
    Feel {
        /// Name of the point.
        from: String,
        /// How the torch gets there.
        way: PathKind,
        /// Search direction, unit length, in the frame of the part as taught.
        #[serde(deserialize_with = "xyz")]
        direction: Vector3<f64>,
        /// The learner's name for the face it is meant to touch; touches with one name share one line.
        face: String,
    },
    /// The voltage is off.
    SensingOff,
    /// Store the touches felt since the last find as the reference of a place, or, with the
    /// reference flag off, solve the place's offset from them.
    Find {
        /// Name of the place.
        #[serde(default = "part_place")]
        place: String,
        /// What the part may have done.
        may: Freedoms,
    },
    /// From here on points ride with a place.
    Follow {
        /// Name of the place.
        #[serde(default = "part_place")]
        place: String,
    },
    /// From here on points are where they were taught.
    StopFollowing,
    /// Go straight to a point and strike the arc (or, in a trial, only go there).
    WeldStart {
        /// Name of the point.
        to: String,
    },
    /// Weld straight to a point and on.
    WeldThrough {
        /// Name of the point.
        to: String,
    },
    /// Weld straight to a point and put out the arc.
    WeldEnd {
        /// Name of the point.
        to: String,
    },
    /// Go to the wire cutter and cut the wire to the set stick-out, straight and clean.
    TrimWire,
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
pub enum Stop {
    /// It comes to rest on the point.
    #[default]
    Full,
    /// It rounds the corner, and leaves its path this far before the point, mm.
    Round(f64),
}

/// The place that a find and a follow name by default.
pub const PART_PLACE: &str = "part";
/// Sensing speed of a new step, mm/s (common practice, no source).
pub const DEFAULT_SENSING_SPEED_MM_S: f64 = 20.0;
/// Reach of a new step, mm (common practice, no source).
pub const DEFAULT_REACH_MM: f64 = 30.0;

fn sensing_speed() -> f64 {
    DEFAULT_SENSING_SPEED_MM_S
}

fn reach() -> f64 {
    DEFAULT_REACH_MM
}

/// [`PART_PLACE`], where a file leaves a place out.
pub(crate) fn part_place() -> String {
    PART_PLACE.into()
}

impl Routine {
    /// The taught point of that name.
    pub fn point(&self, name: &str) -> Option<&TaughtPoint> {
        self.points.iter().find(|p| p.name == name)
    }

    /// Place of a step in the list, from 0.
    pub fn index_of(&self, id: StepId) -> Option<usize> {
        self.steps.iter().position(|s| s.id == id)
    }

    /// Names of the points that a weld starts at, goes through, or ends at.
    pub fn weld_points(&self) -> BTreeSet<&str> {
        let of_weld = |s: &&Step| s.instruction.is_weld();
        self.steps.iter().filter(of_weld).filter_map(|s| s.instruction.point()).collect()
    }

    /// The places that the routine finds, in order, each once.
    pub fn places(&self) -> Vec<&str> {
        let mut places = Vec::new();
        for step in &self.steps {
            if let Instruction::Find { place, .. } = &step.instruction
                && !places.contains(&place.as_str())
            {
                places.push(place.as_str());
            }
        }
        places
    }

    /// Whether the routine finds a place anywhere.
    pub fn finds(&self) -> bool {
        self.steps.iter().any(|s| matches!(s.instruction, Instruction::Find { .. }))
    }

    /// An id no step has yet.
    pub fn next_id(&self) -> StepId {
        StepId(self.steps.iter().map(|s| s.id.0).max().map_or(1, |m| m + 1))
    }
}

impl Instruction {
    /// A sensing-on step as it is first put into a routine.
    pub fn sensing_on() -> Self {
        Self::SensingOn { speed_mm_s: DEFAULT_SENSING_SPEED_MM_S, reach_mm: DEFAULT_REACH_MM }
    }

    /// The point the step goes to or feels from.
    pub fn point(&self) -> Option<&str> {
        match self {
            Self::Move { to: name, .. }
            | Self::Feel { from: name, .. }
            | Self::WeldStart { to: name }
            | Self::WeldThrough { to: name }
            | Self::WeldEnd { to: name } => Some(name),
            _ => None,
        }
    }

    /// The point the step goes to or feels from, to point it elsewhere.
    pub fn point_mut(&mut self) -> Option<&mut String> {
        match self {
            Self::Move { to: name, .. }
            | Self::Feel { from: name, .. }
            | Self::WeldStart { to: name }
            | Self::WeldThrough { to: name }
            | Self::WeldEnd { to: name } => Some(name),
            _ => None,
        }
    }

    /// The place the step finds or follows.
    pub fn place(&self) -> Option<&str> {
        match self {
            Self::Find { place, .. } | Self::Follow { place } => Some(place),
            _ => None,
        }
    }

    /// Every name in it: of a point, a place, a face.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        let face = match self {
            Self::Feel { face, .. } => Some(face.as_str()),
            _ => None,
        };
        self.point().into_iter().chain(self.place()).chain(face)
    }

    /// Whether this is the move home.
    pub fn is_home(&self) -> bool {
        matches!(self, Self::Move { to, .. } if to == HOME)
    }

    /// Whether it starts, continues or ends a weld.
    pub fn is_weld(&self) -> bool {
        matches!(self, Self::WeldStart { .. } | Self::WeldThrough { .. } | Self::WeldEnd { .. })
    }

    /// Whether the torch moves in it.
    pub fn moves(&self) -> bool {
        self.point().is_some() || *self == Self::TrimWire
    }
}
