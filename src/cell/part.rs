use super::Joint;
use crate::geometry::{Outline, Point2, Point3, Pose};
use crate::io::{array, some_xyz, xyz};
use crate::locate::{Freedom, Freedoms};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A part and the place it is welded in: data, read from a TOML or JSON file.
///
/// The part frame coincides with the work frame while the part has not been moved.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// Short name in kebab-case, unique.
    pub name: String,
    /// Its title in the title block.
    pub title: String,
    /// The upright prisms it is made of; they move together, unless one has a play of its own.
    pub bodies: Vec<Body>,
    /// Where it is welded.
    pub seams: Vec<Seam>,
    /// The clamps; they do not move with the part.
    #[serde(default)]
    pub clamps: Vec<Body>,
    /// How far the fixture lets the part stray.
    pub play: FixturePlay,
    /// Where the torch waits before a run, well clear of everything; work frame, mm.
    #[serde(deserialize_with = "xyz")]
    pub rest: Point3<f64>,
    /// The torch point above the wire cutter, well clear of everything; work frame, mm. Where it is
    /// left out the cutter stands below the place where the torch waits.
    #[serde(default, deserialize_with = "some_xyz", skip_serializing_if = "Option::is_none")]
    pub cutter: Option<Point3<f64>>,
    /// The arm's base on the plan, off the sheet: joint moves swing about it; work frame, mm.
    #[serde(deserialize_with = "array")]
    pub arm_base: [f64; 2],
    /// A layout of touches that works, for hints and mends.
    #[serde(default)]
    pub model_touches: Vec<ModelTouch>,
}

impl Part {
    /// The torch point above the wire cutter, work frame, mm.
    pub fn cutter(&self) -> Point3<f64> {
        self.cutter.unwrap_or(self.rest)
    }

    /// The touches of the layout that find this place; the part's own, where none is named.
    pub fn layout_of(&self, place: Option<&str>) -> impl Iterator<Item = &ModelTouch> {
        self.model_touches.iter().filter(move |t| t.place.as_deref() == place)
    }

    /// The places that are found riding on the part's own, in the order of their seams.
    pub fn fine_places(&self) -> Vec<&str> {
        let mut places: Vec<&str> = Vec::new();
        for place in self.seams.iter().filter_map(|seam| seam.place.as_deref()) {
            if !places.contains(&place) {
                places.push(place);
            }
        }
        places
    }

    /// What a place of the layout may have done: what its seam's body may do by itself, or the whole
    /// part.
    pub fn may_of(&self, place: &str) -> Freedoms {
        let seam = self.seams.iter().find(|seam| seam.place.as_deref() == Some(place));
        let body = seam.and_then(|seam| self.body(seam.body.as_deref()?));
        body.and_then(|body| body.play).unwrap_or(self.play).freedoms()
    }

    /// The body with this name.
    pub fn body(&self, name: &str) -> Option<&Body> {
        self.bodies.iter().find(|b| b.name == name)
    }
}

/// Where bodies lie on the part that have moved by themselves, from their drawn places, by name.
pub type OwnMotions = BTreeMap<String, Pose>;

/// One upright prism.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Body {
    /// What the log calls it.
    pub name: String,
    /// Seen from above, mm.
    pub outline: Outline,
    /// Openings in it, mm.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub holes: Vec<Outline>,
    /// Height of the underside and of the top face, mm.
    #[serde(deserialize_with = "array")]
    pub z: [f64; 2],
    /// How far it may lie from its drawn place on the part, from one part to the next; not at all,
    /// where nothing is said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub play: Option<FixturePlay>,
    /// How its edges were made; machined, where nothing is said.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub edges: Vec<MadeEdge>,
    /// What sticks out of its edges.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bumps: Vec<Bump>,
}

/// How one edge of a body's outline was made.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MadeEdge {
    /// Its number, from 0: the edge after corner `edge` of the outline.
    pub edge: usize,
    /// How it was made.
    pub made: EdgeMade,
}

/// How an edge was made: the rougher, the more a touch on it scatters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EdgeMade {
    /// Milled or ground.
    #[default]
    Machined,
    /// Cut by laser, plasma or flame.
    Cut,
    /// Sawn.
    Sawn,
    /// As it came from the mill.
    Rolled,
}

impl EdgeMade {
    /// How many times as much a touch scatters as on a machined edge (common practice, no source).
    pub const fn scatter(self) -> f64 {
        match self {
            Self::Machined => 1.0,
            Self::Cut => 1.5,
            Self::Sawn => 2.5,
            Self::Rolled => 3.0,
        }
    }
}

/// Something that sticks out of an edge, and conducts like the rest of the body.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bump {
    /// What it is.
    pub kind: BumpKind,
    /// Number of the edge of the outline, from 0.
    pub edge: usize,
    /// Where it begins along the edge, mm from the corner.
    pub from_mm: f64,
    /// Where it ends, mm.
    pub to_mm: f64,
    /// How far it sticks out, mm.
    pub out_mm: f64,
}

/// What sticks out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BumpKind {
    /// A tack weld, as high as the edge.
    Tack,
    /// A burr at the upper edge, [`BURR_MM`] high.
    Burr,
}

/// Height of a burr, mm (common practice, no source).
pub const BURR_MM: f64 = 0.8;

/// Greatest distance of a contact from the edge it lies on, mm.
const ON_EDGE_MM: f64 = 0.01;

/// Whether a contact at `p` lies on the stretch from `a` to `b` of an outline; part frame, mm.
pub(super) fn on_stretch(p: Point2<f64>, [a, b]: [Point2<f64>; 2]) -> bool {
    let (along, v) = (b - a, p - a);
    let share = (v.dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
    (v - along * share).norm() <= ON_EDGE_MM
}

impl Body {
    /// Both corners of an edge of the outline, mm; roundings left out.
    pub fn edge(&self, edge: usize) -> Option<[Point2<f64>; 2]> {
        let corners = &self.outline.corners;
        Some([corners.get(edge)?.at, corners[(edge + 1) % corners.len()].at])
    }

    /// How the edge was made on which a contact at `p` lies; part frame, mm.
    pub fn made_at(&self, p: Point2<f64>) -> EdgeMade {
        let on = |e: &&MadeEdge| self.edge(e.edge).is_some_and(|ends| on_stretch(p, ends));
        self.edges.iter().find(on).map_or_else(EdgeMade::default, |e| e.made)
    }
}

/// A straight seam on the part, in part coordinates.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seam {
    /// What the sheet calls it.
    pub name: String,
    /// One end, mm.
    #[serde(deserialize_with = "xyz")]
    pub from: Point3<f64>,
    /// The other end, mm.
    #[serde(deserialize_with = "xyz")]
    pub to: Point3<f64>,
    /// Name of the body that carries it, where that has a play of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub body: Option<String>,
    /// The place of the layout that finds it, where that is not the part's own: an end of a long part is
    /// found by itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// What kind of joint it is.
    #[serde(default, skip_serializing_if = "is_fillet")]
    pub joint: Joint,
    /// On which hand that side lies which a positive miss points to, looking from `from` to `to`: the
    /// upright plate of a fillet, the upper sheet of a lap joint, the upper plate of a corner, the first
    /// wall of a gap.
    pub plate: PlateSide,
    /// Lean of the torch from upright, away from that side, degrees; as the joint asks, where nothing
    /// is said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub work_angle_deg: Option<f64>,
    /// Greatest allowed seam miss either way, mm. Default ± half the wire diameter
    /// (common practice, no source).
    pub tolerance_mm: f64,
}

fn is_fillet(joint: &Joint) -> bool {
    *joint == Joint::Fillet
}

impl Seam {
    /// Work angle: lean of the torch from upright, degrees.
    pub fn work_angle_deg(&self) -> f64 {
        self.work_angle_deg.unwrap_or(self.joint.work_angle_deg())
    }
}

/// Left or right of a direction, seen from +Z.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PlateSide {
    /// Counter-clockwise from the direction.
    Left,
    /// Clockwise from the direction.
    Right,
}

/// How far the fixture lets the part stray, either way: the expected movement.
///
/// Shifts are those of the point `about`, turns and tilts are about it.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct FixturePlay {
    /// The point of the part whose shift is limited, in part coordinates, mm.
    #[serde(deserialize_with = "array")]
    pub about: [f64; 3],
    /// Along X, ± mm.
    pub dx: f64,
    /// Along Y, ± mm.
    pub dy: f64,
    /// Along Z, ± mm.
    pub dz: f64,
    /// About Z, ± degrees.
    pub turn_deg: f64,
    /// About X and about Y, ± degrees.
    pub tilt_deg: f64,
}

impl FixturePlay {
    /// The least freedoms that cover everything the part can do here. A part that turns or tilts
    /// about a point of its own also slides, seen from the frame origin.
    pub fn freedoms(&self) -> Freedoms {
        self.free().about_any_point()
    }

    /// What the fixture leaves free at the point `about`: the limits that are not zero.
    pub fn free(&self) -> Freedoms {
        Freedom::ALL.into_iter().filter(|f| self.limit(*f) != 0.0).collect()
    }

    /// The same play without these freedoms.
    #[must_use]
    pub fn without(&self, still: Freedoms) -> Self {
        let kept =
            |freedom, limit| if still.contains(Freedoms::from(freedom)) { 0.0 } else { limit };
        Self {
            about: self.about,
            dx: kept(Freedom::X, self.dx),
            dy: kept(Freedom::Y, self.dy),
            dz: kept(Freedom::Height, self.dz),
            turn_deg: kept(Freedom::Turn, self.turn_deg),
            tilt_deg: kept(Freedom::TiltX, self.tilt_deg),
        }
    }

    /// The limit of one freedom, ± mm or degrees.
    pub fn limit(&self, freedom: Freedom) -> f64 {
        match freedom {
            Freedom::X => self.dx,
            Freedom::Y => self.dy,
            Freedom::Height => self.dz,
            Freedom::Turn => self.turn_deg,
            Freedom::TiltX | Freedom::TiltY => self.tilt_deg,
        }
    }
}

/// One touch of the layout that comes with a part: the search starts at `from` and runs along
/// `direction`; work frame with the part not moved, mm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ModelTouch {
    /// Name of the face it is meant for.
    pub face: String,
    /// The place it helps to find: that of a seam, or, where nothing is said, the part's own. A place of
    /// a seam is found while the part's own is followed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Where the search starts.
    #[serde(deserialize_with = "xyz")]
    pub from: Point3<f64>,
    /// Search direction, unit length.
    #[serde(deserialize_with = "array")]
    pub direction: [f64; 3],
}
