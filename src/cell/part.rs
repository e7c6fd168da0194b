use crate::data::{names, record};
use crate::geometry::{Outline, Point3};
use crate::locate::Freedoms;
use serde::Serialize;

/// A part and the place it is welded in: data, read from a TOML or JSON file.
///
/// The part frame coincides with the work frame while the part has not been moved.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Part {
    /// Short name in kebab-case, unique.
    pub name: String,
    /// What stands in the title block.
    pub title: String,
    /// The upright prisms it is made of; they move together.
    pub bodies: Vec<Body>,
    /// Where it is welded.
    pub seams: Vec<Seam>,
    /// What holds it; clamps do not move with the part.
    pub clamps: Vec<Body>,
    /// How far the fixture lets the part stray.
    pub play: FixturePlay,
    /// Where the torch waits before a run, well clear of everything; work frame, mm.
    pub rest: Point3<f64>,
    /// The arm's base on the plan, off the sheet: joint moves swing about it; work frame, mm.
    pub arm_base: [f64; 2],
    /// A layout of touches that works, for hints and mends.
    pub model_touches: Vec<ModelTouch>,
}

record!(Part {
    name,
    title,
    bodies,
    seams,
    clamps: Vec::new(),
    play,
    rest,
    arm_base,
    model_touches: Vec::new(),
});

/// One upright prism.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Body {
    /// What the log calls it.
    pub name: String,
    /// Seen from above, mm.
    pub outline: Outline,
    /// Openings in it, mm.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub holes: Vec<Outline>,
    /// Height of the underside and of the top face, mm.
    pub z: [f64; 2],
}

record!(Body { name, outline, holes: Vec::new(), z });

/// A straight seam on the part, in part coordinates.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Seam {
    /// What the sheet calls it.
    pub name: String,
    /// One end, mm.
    pub from: Point3<f64>,
    /// The other end, mm.
    pub to: Point3<f64>,
    /// On which hand the upright plate stands, looking from `from` to `to`.
    pub plate: PlateSide,
    /// Greatest allowed seam miss either way, mm. Default ± half the wire diameter
    /// (common practice, no source).
    pub tolerance_mm: f64,
}

record!(Seam { name, from, to, plate, tolerance_mm });

/// Left or right of a direction, seen from +Z.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PlateSide {
    /// Counter-clockwise from the direction.
    Left,
    /// Clockwise from the direction.
    Right,
}

names!(PlateSide { Left: "left", Right: "right" });

/// How far the fixture lets the part stray, either way: the expected movement.
///
/// Shifts are those of the point `about`, turns and tilts are about it.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct FixturePlay {
    /// The point of the part whose shift is limited, in part coordinates, mm.
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

record!(FixturePlay { about: [0.0; 3], dx: 0.0, dy: 0.0, dz: 0.0, turn_deg: 0.0, tilt_deg: 0.0 });

impl FixturePlay {
    /// The least freedoms that cover everything the part can do here.
    pub fn freedoms(&self) -> Freedoms {
        let slides = [self.dx, self.dy, self.dz].iter().filter(|v| **v != 0.0).count();
        match (self.tilt_deg != 0.0, self.turn_deg != 0.0, self.dz != 0.0) {
            (true, _, _) => Freedoms::SlideTilt,
            (false, true, true) => Freedoms::SlideThreeTurn,
            (false, true, false) => Freedoms::SlideTurn,
            (false, false, true) if slides > 1 => Freedoms::SlideThree,
            _ if slides > 1 => Freedoms::SlideTwo,
            _ => Freedoms::SlideOne,
        }
    }
}

/// One touch of the layout that comes with a part: the search starts at `from` and runs along
/// `direction`; work frame with the part not moved, mm.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ModelTouch {
    /// Name of the face it is meant for.
    pub face: String,
    /// Where the search starts.
    pub from: Point3<f64>,
    /// Search direction, unit length.
    pub direction: [f64; 3],
}

record!(ModelTouch { face, from, direction });
