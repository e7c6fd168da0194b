//! A part of a drawn outline: the plate of a rail, with another shape.

use super::lay_out::{DEEP, FROM_END, FROM_END_MOST, SHARE, START_CLEAR, START_OFF, tenth};
use super::limits::{FACE_OFF, FROM_EDGE, PIECE};
use super::outline_error::OutlinePartError;
use super::plate::{Plate, Side};
use super::{Dimension as D, Draft, Template};
use crate::cell::{EdgeMade, MadeEdge, ModelTouch, Part};
use crate::geometry::{Outline, Point3};
use serde::{Deserialize, Serialize};

/// A plate of any outline with a rail upright on it. As JSON it is an object of its dimensions and of the
/// outline as it was drawn.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "OutlineFile", into = "OutlineFile")]
pub struct OutlineDraft {
    /// Its dimensions, those of a rail: length and width are the outline's own, along its front edge and
    /// across it. Its height is always felt as drawn.
    pub draft: Draft,
    drawn: Drawn,
    plate: Plate,
}

/// The outline as it was drawn, and which of its edges lies in front; mm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Drawn {
    corners: Vec<[f64; 2]>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    holes: Vec<Vec<[f64; 2]>>,
    front: usize,
}

/// The same as it is written.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct OutlineFile {
    draft: Draft,
    drawn: Drawn,
}

impl From<OutlineDraft> for OutlineFile {
    fn from(OutlineDraft { draft, drawn, .. }: OutlineDraft) -> Self {
        Self { draft, drawn }
    }
}

impl TryFrom<OutlineFile> for OutlineDraft {
    type Error = OutlinePartError;

    fn try_from(OutlineFile { draft, drawn }: OutlineFile) -> Result<Self, OutlinePartError> {
        let Drawn { corners, holes, front } = drawn;
        Ok(Self::new(&corners, &holes, front, &draft.title)?.with(draft))
    }
}

impl OutlineDraft {
    /// Dimensions of a rail that are not filled in: the outline has them, and its height is felt as drawn.
    pub const GIVEN: [D; 3] = [D::Length, D::Width, D::PlayHeight];
    /// So much of the plate must be in front of the rail and at either end, mm.
    pub const AROUND_RAIL_MM: f64 = FROM_EDGE;

    /// With common values, and a rail as long as it finds room for in the middle of the plate. The plate is
    /// turned so that its edge `front` lies in front; edge `i` follows corner `i`.
    ///
    /// # Errors
    /// If that edge is not an outermost one.
    pub fn new(
        corners: &[[f64; 2]],
        holes: &[Vec<[f64; 2]>],
        front: usize,
        title: &str,
    ) -> Result<Self, OutlinePartError> {
        let plate = Plate::new(corners, holes, front)?;
        let [length, width] = plate.size();
        let mut draft = Draft::new(Template::Rail, title);
        draft.edges = EdgeMade::Cut;
        draft.set(D::Length, length);
        draft.set(D::Width, width);
        let thickness = draft.value(D::PieceThickness);
        let places = (1..20).filter_map(|i| {
            // Whole millimetres, as one would type them.
            let y = (width * f64::from(i) / 20.0).round();
            let room = plate.room(y - FROM_EDGE, y + thickness);
            let longest = room.into_iter().map(|[a, b]| [a + FROM_EDGE, b - FROM_EDGE]);
            let longest = longest.max_by(|p, q| (p[1] - p[0]).total_cmp(&(q[1] - q[0])))?;
            let off_middle = (f64::from(i) - 10.0).abs();
            (longest[1] - longest[0] >= PIECE).then_some((off_middle, y, longest))
        });
        // As near to the middle as there is room for a rail, if there is.
        if let Some((_, y, [from, to])) = places.min_by(|p, q| p.0.total_cmp(&q.0)) {
            let from = from.ceil();
            draft.set(D::PieceFromFront, y);
            draft.set(D::PieceFromLeft, from);
            draft.set(D::PieceLength, (to - from).floor().min(300.0));
        }
        let most = draft.limits(D::PlayTurn)[1];
        draft.set(D::PlayTurn, draft.value(D::PlayTurn).min(most));
        let drawn = Drawn { corners: corners.to_vec(), holes: holes.to_vec(), front };
        Ok(Self { draft, drawn, plate })
    }

    /// The same outline with these dimensions.
    #[must_use]
    pub fn with(self, draft: Draft) -> Self {
        Self { draft, ..self }
    }

    /// The plate as it is laid, mm, front edge first.
    pub fn corners(&self) -> &[[f64; 2]] {
        &self.plate.corners
    }

    /// The part.
    ///
    /// # Errors
    /// What cannot be felt or welded, or is out of its limits.
    pub fn part(&self) -> Result<Part, OutlinePartError> {
        let mut draft = self.draft.clone();
        draft.set(D::PlayHeight, 0.0);
        let side = self.side()?;
        self.check_front()?;
        self.check_rail()?;
        // A clamp on the right would stand in the way of a search there.
        draft.east_clamp &= side.out[0] < 0.0;
        let mut part = draft.part()?;
        let plate = &mut part.bodies[0];
        plate.outline = Outline::sharp(&self.plate.corners);
        plate.holes = self.plate.holes.iter().map(|hole| Outline::sharp(hole)).collect();
        plate.edges = Vec::new();
        if draft.edges != EdgeMade::default() {
            let felt = [self.plate.front, side.edge];
            plate.edges = felt.map(|edge| MadeEdge { edge, made: draft.edges }).to_vec();
        }
        part.model_touches = self.touches(&part, side);
        part.check()?;
        Ok(part)
    }

    fn v(&self, dimension: D) -> f64 {
        self.draft.value(dimension)
    }

    fn turn(&self) -> f64 {
        libm::tan(self.v(D::PlayTurn).to_radians())
    }

    /// How far an edge with this direction outwards may come nearer, at so great a distance from the
    /// middle of the part, mm.
    fn nearer(&self, out: [f64; 2], lever: f64) -> f64 {
        let slide = out[0].abs() * self.v(D::PlayX) + out[1].abs() * self.v(D::PlayY);
        slide + lever * self.turn()
    }

    /// How far a touch may shift along its edge, and so must stay from its end, mm.
    fn stays(&self, out: [f64; 2]) -> f64 {
        let [length, width] = self.plate.size();
        let along = [out[1], out[0]];
        self.nearer(along, length.max(width) / 2.0) + FROM_END
    }

    /// The edge that is felt along X.
    fn side(&self) -> Result<Side, OutlinePartError> {
        let [length, width] = self.plate.size();
        let search = FACE_OFF + START_CLEAR;
        let least = 2.0 * self.stays([0.7, 0.7]);
        let side = self.plate.side(least, search).ok_or(OutlinePartError::NoSide { least })?;
        debug_assert!(side.length >= least, "it was asked for");
        let off = self.nearer(side.out, libm::hypot(length, width) / 2.0);
        if off <= FACE_OFF { Ok(side) } else { Err(OutlinePartError::NoSide { least }) }
    }

    fn front_margin(&self) -> f64 {
        self.stays([0.0, 1.0])
    }

    fn check_front(&self) -> Result<(), OutlinePartError> {
        let [from, to] = self.plate.front_ends();
        let least = 2.0 * self.front_margin() + PIECE / 2.0;
        if to - from >= least {
            Ok(())
        } else {
            Err(OutlinePartError::FrontTooShort { least, found: to - from })
        }
    }

    fn check_rail(&self) -> Result<(), OutlinePartError> {
        let y = self.v(D::PieceFromFront);
        let from = self.v(D::PieceFromLeft);
        let ends = [from - FROM_EDGE, from + self.v(D::PieceLength) + FROM_EDGE];
        let room = self.plate.room(y - FROM_EDGE + 1e-6, y + self.v(D::PieceThickness));
        let stands = |[a, b]: &[f64; 2]| *a <= ends[0] + 1e-6 && ends[1] <= *b + 1e-6;
        if room.iter().any(stands) { Ok(()) } else { Err(OutlinePartError::RailOffPlate) }
    }

    /// Two touches of the front, one where the part only slides, and one at the side.
    fn touches(&self, part: &Part, side: Side) -> Vec<ModelTouch> {
        let [length, width] = self.plate.size();
        let z = part.bodies[0].z[1] - (self.v(D::Thickness) / 2.0).min(DEEP);
        let start =
            |out: [f64; 2], lever: f64| (self.nearer(out, lever) + START_CLEAR).max(START_OFF);
        let touch = |face: &str, at: [f64; 2], out: [f64; 2], lever: f64| {
            let off = start(out, lever);
            let from = [at[0] + out[0] * off, at[1] + out[1] * off, z].map(tenth);
            let direction = [-out[0], -out[1], 0.0].map(|v| v + 0.0);
            ModelTouch { face: face.into(), place: None, from: Point3::from(from), direction }
        };
        let [from, to] = self.plate.front_ends();
        let margin = self.front_margin().max((SHARE * (to - from)).min(FROM_END_MOST));
        let ends = [to - margin, from + margin];
        let all = if self.turn() > 0.0 { &ends[..] } else { &ends[1..] };
        let front = all.iter().map(|x| touch("front", [*x, 0.0], [0.0, -1.0], length / 2.0));
        let name = if side.out[0] < 0.0 { "left" } else { "right" };
        let lever = libm::hypot(length, width) / 2.0;
        front.chain([touch(name, side.middle, side.out, lever)]).collect()
    }
}
