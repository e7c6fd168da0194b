use crate::cell::{Cell, ONE_FACE_COSINE, OwnMotions, Part, SearchResult};
use crate::coach::pieces::pause;
use crate::geometry::{Point2, Point3, Pose, Vector3};
use crate::routine::{Instruction, PathKind, Routine, Structure};

/// Distance beyond the reach that the coach searches to tell "too short" from "the wrong way", mm.
const LOOK_BEYOND: f64 = 150.0;

/// Searches from one pause to the next: a few milliseconds, with a part of as many edges as it may
/// have.
const LOOKS_A_PIECE: usize = 10;

/// What a feel meets with the part as taught and at the extreme poses of the play.
#[derive(Debug, Clone)]
pub(in crate::coach) struct TouchFacts {
    /// Index of the feel.
    pub(in crate::coach) step: usize,
    /// Name of its point.
    pub(in crate::coach) point: String,
    /// How the torch gets there.
    pub(in crate::coach) way: PathKind,
    /// That point, work frame, mm.
    pub(in crate::coach) start: Point3<f64>,
    /// Unit search direction, work frame.
    pub(in crate::coach) direction: Vector3<f64>,
    /// The learner's name for the face.
    pub(in crate::coach) face: String,
    /// Greatest length of its search, mm.
    pub(in crate::coach) reach: f64,
    /// What it meets with the part at the taught pose.
    pub(in crate::coach) taught: Meets,
    /// What it meets at each of the part's [extreme places](crate::cell::Part::extremes); of one that
    /// rides with a coarse place, with the bodies there and the part where it was taught.
    pub(in crate::coach) moved: Vec<Meets>,
}

/// What a search meets.
#[derive(Debug, Clone)]
pub(in crate::coach) enum Meets {
    /// A face of the part.
    Face(Meeting),
    /// A corner, another face of the part than at the taught pose, or a clamp.
    Other(Meeting),
    /// The nozzle meets this body before the wire touches.
    Nozzle(String),
    /// Nothing within reach and [`LOOK_BEYOND`].
    Nothing,
    /// The wire touches this body before the search starts.
    Touching(String),
}

/// Contact at the end of a search.
#[derive(Debug, Clone)]
pub(in crate::coach) struct Meeting {
    pub(in crate::coach) body: String,
    /// Outward normal in the part frame.
    pub(in crate::coach) normal: Vector3<f64>,
    /// Length of the search, mm.
    pub(in crate::coach) travel: f64,
    /// How many times as much the reading scatters as on a machined edge.
    pub(in crate::coach) scatter: f64,
}

impl Meeting {
    pub(in crate::coach) fn same_face(&self, other: &Self) -> bool {
        self.body == other.body && self.normal.dot(&other.normal) > ONE_FACE_COSINE
    }
}

impl TouchFacts {
    /// The feel with another direction or face.
    pub(in crate::coach) fn feel(&self, direction: Vector3<f64>, face: &str) -> Instruction {
        let (from, way) = (self.point.clone(), self.way);
        Instruction::Feel { from, way, direction, face: face.into() }
    }

    /// The face it meets with the part at the taught pose.
    pub(in crate::coach) fn meets(&self) -> Option<&Meeting> {
        match &self.taught {
            Meets::Face(m) => Some(m),
            _ => None,
        }
    }

    /// Whether two touches meet one face of the part.
    pub(in crate::coach) fn shares_face(&self, other: &Self) -> bool {
        self.meets().zip(other.meets()).is_some_and(|(a, b)| a.same_face(b))
    }
}

/// What every feel of the routine meets.
pub(in crate::coach) async fn touches(
    routine: &Routine,
    structure: &Structure,
    cell: &mut Cell,
    taught: Pose,
    extremes: &[(Pose, OwnMotions)],
) -> Vec<TouchFacts> {
    let mut all: Vec<TouchFacts> = Vec::new();
    for (i, step) in routine.steps.iter().enumerate() {
        let Instruction::Feel { from, way, direction, face } = &step.instruction else { continue };
        let Some(point) = routine.point(from) else { continue };
        let Some(direction) = direction.try_normalize(1e-9) else { continue };
        all.push(TouchFacts {
            step: i,
            point: from.clone(),
            way: *way,
            start: point.at,
            direction,
            face: face.clone(),
            reach: structure.search_of(i).1,
            taught: Meets::Nothing,
            moved: Vec::with_capacity(extremes.len()),
        });
    }
    let mut looks = 0;
    for t in &mut all {
        looks += 1;
        if looks % LOOKS_A_PIECE == 0 {
            pause().await;
        }
        t.taught = look(cell, taught, &t.start, &t.direction, t.reach);
        if let Meets::Face(m) = &t.taught
            && cell.part().body(&m.body).is_none()
        {
            t.taught = Meets::Other(m.clone());
        }
    }
    for (n, (pose, own)) in extremes.iter().enumerate() {
        cell.place_bodies(own);
        let seen_before = extremes[..n].iter().position(|(_, other)| other == own);
        for t in &mut all {
            // A touch that rides with a coarse place meets the play of single bodies alone.
            let rides = structure.follow_at(t.step).is_some();
            if let Some(before) = seen_before.filter(|_| rides) {
                t.moved.push(t.moved[before].clone());
                continue;
            }
            looks += 1;
            if looks % LOOKS_A_PIECE == 0 {
                pause().await;
            }
            let pose = if rides { taught } else { *pose };
            let seen = look(cell, pose, &t.start, &t.direction, t.reach);
            t.moved.push(match (seen, t.meets()) {
                (Meets::Face(m), Some(face)) if !m.same_face(face) => Meets::Other(m),
                (seen, _) => seen,
            });
        }
    }
    cell.place_bodies(&OwnMotions::new());
    cell.place_part(taught);
    all
}

/// What a search from `start` meets with the part at `pose`; work frame, mm.
pub(in crate::coach) fn look(
    cell: &mut Cell,
    pose: Pose,
    start: &Point3<f64>,
    direction: &Vector3<f64>,
    reach: f64,
) -> Meets {
    cell.place_part(pose);
    match cell.search(start, direction, reach + LOOK_BEYOND) {
        SearchResult::Touch(t) => Meets::Face(Meeting {
            body: t.body,
            normal: pose.inverse().vector(&t.normal),
            travel: t.travel,
            scatter: t.scatter,
        }),
        SearchResult::Nothing => Meets::Nothing,
        SearchResult::AlreadyTouching { body } => Meets::Touching(body),
        SearchResult::Collision(hit) => Meets::Nozzle(hit.body),
    }
}

/// How far a face of a body reaches from a contact on it, both ways along a direction in it, mm; all in
/// the part frame. Of an upright face the straight edge of the outline counts, else the whole outline.
pub(in crate::coach) fn body_extent(
    part: &Part,
    body: &str,
    normal: &Vector3<f64>,
    contact: &Point3<f64>,
    along: &Vector3<f64>,
) -> Option<[f64; 2]> {
    let corners = &part.body(body)?.outline.corners;
    let reach = |at: &Point2<f64>| (at - contact.xy()).dot(&along.xy());
    let ends = if normal.z.abs() < 0.5 {
        let edges = corners.iter().zip(corners.iter().cycle().skip(1));
        let off = |at: &Point2<f64>| (at - contact.xy()).dot(&normal.xy()).abs();
        let on_line = |a: &Point2<f64>, b: &Point2<f64>| {
            (b - a).dot(&normal.xy()).abs() < (1.0 - ONE_FACE_COSINE).sqrt() * (b - a).norm()
        };
        let (a, b) = edges
            .map(|(a, b)| (a.at, b.at))
            .filter(|(a, b)| on_line(a, b))
            .min_by(|x, y| off(&x.0).total_cmp(&off(&y.0)))?;
        vec![reach(&a), reach(&b)]
    } else {
        corners.iter().map(|c| reach(&c.at)).collect()
    };
    let (from, to) =
        (ends.iter().copied().reduce(f64::min)?, ends.iter().copied().reduce(f64::max)?);
    Some([from.min(0.0), to.max(0.0)])
}
