use crate::geometry::{Outline, Point3};
use crate::io::{array, xyz};
use crate::locate::{Freedom, Freedoms};
use serde::{Deserialize, Serialize};

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
    /// The upright prisms it is made of; they move together.
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
    /// The arm's base on the plan, off the sheet: joint moves swing about it; work frame, mm.
    #[serde(deserialize_with = "array")]
    pub arm_base: [f64; 2],
    /// A layout of touches that works, for hints and mends.
    #[serde(default)]
    pub model_touches: Vec<ModelTouch>,
}

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
    /// On which hand the upright plate stands, looking from `from` to `to`.
    pub plate: PlateSide,
    /// Greatest allowed seam miss either way, mm. Default ± half the wire diameter
    /// (common practice, no source).
    pub tolerance_mm: f64,
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

    /// The limit of one freedom, ± mm or degrees.
    fn limit(&self, freedom: Freedom) -> f64 {
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
    /// Where the search starts.
    #[serde(deserialize_with = "xyz")]
    pub from: Point3<f64>,
    /// Search direction, unit length.
    #[serde(deserialize_with = "array")]
    pub direction: [f64; 3],
}
