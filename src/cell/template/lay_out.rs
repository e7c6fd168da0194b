//! From dimensions to a part: its bodies, and by plain rules everything that makes it a job.

use super::limits::{above_x, width};
use super::{Dimension as D, Draft, DraftError, Template as T, own_part_name};
use crate::cell::{
    Body, EdgeMade, FixturePlay, Gap, Joint, MadeEdge, ModelTouch, Part, PlateSide, Seam,
};
use crate::geometry::{Outline, OutlineCorner, Point2, Point3};

/// Under a part that may lie higher or lower stand pads so far below its lowest place, mm.
const PAD_GAP: f64 = 1.0;
/// Height of these pads, mm, and half their width.
const PAD: f64 = 3.0;
const HALF_PAD: f64 = 15.0;
/// Half the width of a clamp, and its depth, mm.
const HALF_CLAMP: f64 = 30.0;
const CLAMP_DEPTH: f64 = 60.0;
/// Thickness of the backing strip under a groove, mm, and how far it reaches under each bar.
const BACKING: f64 = 6.0;
const UNDER_BAR: f64 = 15.0;
/// A search starts at least so far off its face, mm, and so much further off than the face may come nearer.
pub(super) const START_OFF: f64 = 12.0;
pub(super) const START_CLEAR: f64 = 4.0;
/// How deep below the top edge a face is felt at most, mm: the nozzle stays above the part.
pub(super) const DEEP: f64 = 7.0;
/// A touch stays so far from the end of its face at least, mm, and of a long face a share of its length.
pub(super) const FROM_END: f64 = 8.0;
pub(super) const SHARE: f64 = 0.12;
pub(super) const FROM_END_MOST: f64 = 50.0;
/// Most that a weld leaves out at either end of what it welds, mm.
const WELD_LEFT_OUT: f64 = 20.0;

impl Draft {
    /// The part.
    ///
    /// # Errors
    /// The first dimension that is out of its limits, or that the part has no title.
    pub fn part(&self) -> Result<Part, DraftError> {
        if let Some(first) = self.errors().into_iter().next() {
            return Err(first);
        }
        let l = Layout::new(self);
        let part = Part {
            name: own_part_name(&self.title),
            title: self.title.trim().to_owned(),
            bodies: l.bodies(),
            seams: l.seams(),
            clamps: l.clamps(),
            play: l.play(),
            rest: Point3::new(-160.0, -180.0, (l.top() + 120.0).max(200.0)),
            cutter: Some(Point3::new(-160.0, 40.0, (l.top() + 70.0).max(120.0))),
            arm_base: l.arm_base(),
            model_touches: l.touches(),
        };
        part.check()?;
        Ok(part)
    }
}

struct Layout<'a> {
    draft: &'a Draft,
    length: f64,
    width: f64,
    /// Tangent of the greatest turn.
    turn: f64,
    /// Height of the underside, and of the plane the seam lies in.
    low: f64,
    seam: f64,
}

impl<'a> Layout<'a> {
    fn new(draft: &'a Draft) -> Self {
        let v = |d| draft.value(d);
        let butt = draft.template == T::Butt;
        let play = v(D::PlayHeight);
        let low = if play > 0.0 { PAD + PAD_GAP + play } else { 0.0 };
        Self {
            draft,
            length: v(D::Length),
            width: width(draft),
            turn: libm::tan(v(D::PlayTurn).to_radians()),
            low,
            seam: if butt { BACKING } else { low + v(D::Thickness) },
        }
    }

    fn v(&self, dimension: D) -> f64 {
        self.draft.value(dimension)
    }

    /// Height of the faces that are felt from the side: upper edge.
    fn upper(&self) -> f64 {
        if self.draft.template == T::Butt { BACKING + self.v(D::Thickness) } else { self.seam }
    }

    /// The highest of everything, mm.
    fn top(&self) -> f64 {
        let piece = self.v(D::PieceHeight).max(self.v(D::PieceThickness));
        self.upper() + piece
    }

    /// Where what is welded on lies, along X.
    fn piece_x(&self) -> [f64; 2] {
        let from = self.v(D::PieceFromLeft);
        [from, from + self.v(D::PieceLength)]
    }

    /// From where a seam runs along this Y of the piece's front.
    fn fronts(&self) -> Vec<f64> {
        let thickness = self.v(D::PieceThickness);
        match self.draft.template {
            T::Frame => {
                let middle = self.v(D::MemberWidth) / 2.0;
                vec![middle - thickness / 2.0, self.width - middle - thickness / 2.0]
            }
            T::Butt => vec![self.v(D::BarWidth) + self.v(D::Gap) / 2.0],
            _ => vec![self.v(D::PieceFromFront)],
        }
    }

    fn bodies(&self) -> Vec<Body> {
        let (length, width) = (self.length, self.width);
        let [x0, x1] = self.piece_x();
        let fronts = self.fronts();
        let front = fronts[0];
        let thickness = self.v(D::PieceThickness);
        let plate = |name| self.felt(name, [0.0, 0.0], [length, width], [self.low, self.seam]);
        let on = |name, from: f64, depth: f64, height: f64| {
            body(name, [x0, from], [x1, from + depth], [self.seam, self.seam + height])
        };
        let upright = |name, from| on(name, from, thickness, self.v(D::PieceHeight));
        match self.draft.template {
            T::Rail => vec![plate("plate"), upright("rail", front)],
            T::Lap => {
                vec![plate("plate"), on("sheet", front, self.v(D::PieceWidth), thickness)]
            }
            T::Angle => {
                let leg = self.v(D::PieceWidth);
                let mut back = upright("upright leg", front + leg - thickness);
                back.z[0] += thickness;
                vec![plate("plate"), on("flat leg", front, leg, thickness), back]
            }
            T::Frame => {
                let member = self.v(D::MemberWidth);
                let mut frame = plate("frame");
                let far = [length - member, width - member];
                frame.holes = vec![Outline::rectangle([member, member], far)];
                vec![frame, upright("front rib", front), upright("rear rib", fronts[1])]
            }
            T::Tube => {
                let mut tube = plate("tube");
                let middle = [length - self.v(D::HoleFromRight), width / 2.0];
                tube.holes = vec![circle(middle, self.v(D::HoleDiameter) / 2.0)];
                vec![tube, upright("lug", front)]
            }
            T::Butt => {
                let (bar, gap) = (self.v(D::BarWidth), self.v(D::Gap));
                let z = [BACKING, self.upper()];
                vec![
                    body(
                        "backing strip",
                        [10.0, bar - UNDER_BAR],
                        [length - 10.0, bar + gap + UNDER_BAR],
                        [0.0, BACKING],
                    ),
                    self.felt("rear bar", [0.0, bar + gap], [length, width], z),
                    self.felt("front bar", [0.0, 0.0], [length, bar], z),
                ]
            }
        }
    }

    /// A body whose edges are felt, and made as the draft says.
    fn felt(&self, name: &str, lo: [f64; 2], hi: [f64; 2], z: [f64; 2]) -> Body {
        let mut felt = body(name, lo, hi, z);
        let made = self.draft.edges;
        if made != EdgeMade::default() {
            felt.edges = (0..4).map(|edge| MadeEdge { edge, made }).collect();
        }
        felt
    }

    fn seams(&self) -> Vec<Seam> {
        let template = self.draft.template;
        let joint = match template {
            T::Rail | T::Frame | T::Tube => Joint::Fillet,
            T::Angle | T::Lap => Joint::Lap,
            T::Butt => Joint::Butt(Gap {
                walls: ["rear bar".into(), "front bar".into()],
                gap_mm: self.v(D::Gap),
            }),
        };
        let names: &[&str] = match template {
            T::Rail => &["rail seam"],
            T::Angle => &["toe seam"],
            T::Frame => &["front seam", "rear seam"],
            T::Tube => &["lug seam"],
            T::Lap => &["sheet seam"],
            T::Butt => &["groove seam"],
        };
        let [x0, x1] = if template == T::Butt {
            [30.0, self.length - 30.0]
        } else {
            let [x0, x1] = self.piece_x();
            let left_out = ((x1 - x0) / 8.0).min(WELD_LEFT_OUT);
            [x0 + left_out, x1 - left_out]
        };
        let usual = joint.work_angle_deg();
        let angle = self.v(D::WorkAngle);
        let seam = |(name, y): (&&str, f64)| Seam {
            name: (*name).into(),
            from: Point3::new(x0, y, self.seam),
            to: Point3::new(x1, y, self.seam),
            body: None,
            place: None,
            joint: joint.clone(),
            plate: PlateSide::Left,
            work_angle_deg: (angle != usual).then_some(angle),
            tolerance_mm: self.v(D::Tolerance),
        };
        names.iter().zip(self.fronts()).map(seam).collect()
    }

    fn clamps(&self) -> Vec<Body> {
        let (off, height) = (self.v(D::ClampDistance), self.v(D::ClampHeight));
        let (x, y) = (self.length / 2.0, self.width / 2.0);
        let mut all = Vec::new();
        if self.v(D::PlayHeight) > 0.0 {
            let (near, far) = (HALF_PAD + 10.0, [self.length, self.width]);
            for (name, [x, y]) in [
                ("left pad", [near, near]),
                ("right pad", [far[0] - near, near]),
                ("rear pad", [near, far[1] - near]),
            ] {
                let (lo, hi) = ([x - HALF_PAD, y - HALF_PAD], [x + HALF_PAD, y + HALF_PAD]);
                all.push(body(name, lo, hi, [0.0, PAD]));
            }
        }
        if self.draft.north_clamp {
            let from = self.width + off;
            let (lo, hi) = ([x - HALF_CLAMP, from], [x + HALF_CLAMP, from + CLAMP_DEPTH]);
            all.push(body("rear clamp", lo, hi, [0.0, height]));
        }
        if self.draft.east_clamp {
            let from = self.length + off;
            let (lo, hi) = ([from, y - HALF_CLAMP], [from + CLAMP_DEPTH, y + HALF_CLAMP]);
            all.push(body("right clamp", lo, hi, [0.0, height]));
        }
        all
    }

    fn play(&self) -> FixturePlay {
        FixturePlay {
            about: [self.length / 2.0, self.width / 2.0, 0.0],
            dx: self.v(D::PlayX),
            dy: self.v(D::PlayY),
            dz: self.v(D::PlayHeight),
            turn_deg: self.v(D::PlayTurn),
            tilt_deg: 0.0,
        }
    }

    /// Far behind the part, and further behind a long one.
    fn arm_base(&self) -> [f64; 2] {
        let further = 0.75 * (self.length - 400.0).max(0.0) + (self.width - 250.0).max(0.0);
        [self.length / 2.0, 1400.0 + further]
    }

    /// Two touches of each face where the part may turn, one where it only slides, as far apart as they stay
    /// on the face; and one from above where its height may change.
    fn touches(&self) -> Vec<ModelTouch> {
        let depth = ((self.upper() - self.low) / 2.0).min(DEEP);
        let (dx, dy) = (self.v(D::PlayX), self.v(D::PlayY));
        let butt = self.draft.template == T::Butt;
        let z = if butt { BACKING + self.v(D::Thickness) / 2.0 } else { self.upper() - depth };
        let off = |slide: f64, side: f64, along: f64| {
            (slide + (side / 2.0 + along) * self.turn + START_CLEAR).max(START_OFF)
        };
        let ends = |side: f64, slide: f64, other: f64| {
            let stays = slide + other / 2.0 * self.turn + FROM_END;
            let from_end = stays.max((SHARE * side).min(FROM_END_MOST));
            [side - from_end, from_end]
        };
        let touch = |face: &str, from: [f64; 3], direction: [f64; 3]| ModelTouch {
            face: face.into(),
            place: None,
            from: from.map(tenth).into(),
            direction,
        };
        let turns = self.v(D::PlayTurn) > 0.0;
        let of_face = |ends: [f64; 2]| if turns { ends.to_vec() } else { ends[1..].to_vec() };
        let along_x = of_face(ends(self.length, dx, self.width));
        let x = -off(dx, self.width, dy);
        if butt {
            let y = self.fronts()[0];
            let wall =
                |face, d: f64| along_x.iter().map(move |x| touch(face, [*x, y, z], [0.0, d, 0.0]));
            let bar = self.width - self.v(D::BarWidth) / 2.0;
            let end = touch("left", [x, bar, z], [1.0, 0.0, 0.0]);
            return wall("rear wall", 1.0).chain(wall("front wall", -1.0)).chain([end]).collect();
        }
        let y = -off(dy, self.length, dx);
        let mut along_y = of_face(ends(self.width, dy, self.length));
        along_y.reverse();
        let front = along_x.iter().map(|x| touch("front", [*x, y, z], [0.0, 1.0, 0.0]));
        let left = along_y.iter().map(|y| touch("left", [x, *y, z], [1.0, 0.0, 0.0]));
        // From above first: the torch then comes from the front, where nothing stands up.
        let height = self.v(D::PlayHeight) > 0.0;
        let top = height.then(|| touch("top", self.above(), [0.0, 0.0, -1.0]));
        top.into_iter().chain(front).chain(left).collect()
    }

    /// Where a search from above starts: over the plate in front of what is welded on, of a lap joint over
    /// the sheet, of a frame over its left member.
    fn above(&self) -> [f64; 3] {
        let [x0, x1] = self.piece_x();
        let (over, [x, y]) = match self.draft.template {
            T::Lap => {
                let y = self.v(D::PieceFromFront) + self.v(D::PieceWidth) / 2.0;
                (self.v(D::PieceThickness), [f64::midpoint(x0, x1), y])
            }
            T::Frame => (0.0, [self.v(D::MemberWidth) / 2.0, self.width / 2.0]),
            _ => (0.0, [above_x(self.draft), self.v(D::PieceFromFront) / 2.0]),
        };
        [x, y, self.seam + over + 15.0]
    }
}

fn body(name: &str, lo: [f64; 2], hi: [f64; 2], z: [f64; 2]) -> Body {
    Body {
        name: name.into(),
        outline: Outline::rectangle(lo, hi),
        holes: Vec::new(),
        z,
        play: None,
        edges: Vec::new(),
        bumps: Vec::new(),
    }
}

/// A square whose corners are rounded until nothing is left of its sides.
fn circle([x, y]: [f64; 2], radius: f64) -> Outline {
    let corner = |(dx, dy): (f64, f64)| OutlineCorner {
        at: Point2::new(x + dx * radius, y + dy * radius),
        radius,
    };
    let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(corner).to_vec();
    Outline { corners }
}

/// To a tenth of a millimetre: as one would teach it.
pub(super) fn tenth(v: f64) -> f64 {
    (v * 10.0).round() / 10.0 + 0.0
}
