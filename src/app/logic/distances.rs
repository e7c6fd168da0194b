//! How far the torch in hand is from what is drawn.

use super::aim::Aim;
use nudgeproof::cell::{Body, Cell, OwnMotions, Part, SearchResult};
use nudgeproof::geometry::{Point3, Pose, Prism, Vector3};
use nudgeproof::routine::{Instruction, Routine};

/// What a feel from here would meet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Ahead {
    /// How far the torch may go until wire or nozzle meets it, mm.
    pub(crate) distance: f64,
    /// Where the torch would be at contact, work frame, mm.
    pub(crate) contact: Point3<f64>,
    /// Name of the body.
    pub(crate) body: String,
    /// Whether the wire would touch the part there.
    pub(crate) on_part: bool,
}

/// A feel looks no further than this for a face, mm.
const FARTHEST: f64 = 400.0;

/// What a feel in a direction would meet, the part where it lies in `cell`; `None` where it meets
/// nothing.
pub(crate) fn ahead(cell: &Cell, torch: &Point3<f64>, aim: Aim) -> Option<Ahead> {
    match cell.search(torch, &aim.vector(), FARTHEST) {
        SearchResult::Touch(touch) => Some(Ahead {
            distance: touch.travel,
            contact: torch + aim.vector() * touch.travel,
            on_part: cell.part().body(&touch.body).is_some(),
            body: touch.body,
        }),
        // The nozzle comes first: nothing would be felt.
        SearchResult::Collision(hit) => {
            Some(Ahead { distance: hit.along, contact: hit.at, body: hit.body, on_part: false })
        }
        _ => None,
    }
}

/// A body where it is drawn.
#[derive(Debug, Clone, PartialEq)]
struct PlacedBody {
    name: String,
    prism: Prism,
    pose: Pose,
}

/// Everything of metal where it is drawn.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Metal(Vec<PlacedBody>);

impl Metal {
    /// The bodies of the part at this place, each where it has moved by itself, and the clamps.
    pub(crate) fn new(part: &Part, pose: &Pose, own_motions: &OwnMotions) -> Self {
        let placed = |body: &Body, pose: Pose| {
            let prism = Prism::new(&body.outline, &body.holes, body.z).ok()?;
            Some(PlacedBody { name: body.name.clone(), prism, pose })
        };
        let own = |body: &Body| *pose * own_motions.get(&body.name).copied().unwrap_or_default();
        let bodies = part.bodies.iter().filter_map(|body| placed(body, own(body)));
        let clamps = part.clamps.iter().filter_map(|clamp| placed(clamp, Pose::default()));
        Self(bodies.chain(clamps).collect())
    }

    /// The body that the tip of a wire of this radius, mm, is wholly inside.
    pub(crate) fn around(&self, tip: &Point3<f64>, radius: f64) -> Option<&str> {
        let middle = tip + Vector3::z() * radius;
        let sides = [Vector3::x(), -Vector3::x(), Vector3::y(), -Vector3::y()];
        let wholly = |body: &&PlacedBody| {
            let inside = |by: &Vector3<f64>| {
                body.prism.contains(&body.pose.inverse().point(&(middle + by * radius)))
            };
            sides.iter().all(inside)
        };
        self.0.iter().find(wholly).map(|body| body.name.as_str())
    }

    /// Height of the top of a body above the table, mm.
    pub(crate) fn top(&self, name: &str) -> Option<f64> {
        let body = self.0.iter().find(|body| body.name == name)?;
        Some(body.pose.point(&Point3::new(0.0, 0.0, body.prism.z1)).z)
    }
}

/// Distance of a point from a line from end to end, mm.
pub(crate) fn to_line(p: &Point3<f64>, [from, to]: [Point3<f64>; 2]) -> f64 {
    (p - nearest(p, [from, to])).norm()
}

/// The point of a line from end to end that is nearest to a point.
pub(crate) fn nearest(p: &Point3<f64>, [from, to]: [Point3<f64>; 2]) -> Point3<f64> {
    let along = to - from;
    let share = (p - from).dot(&along) / along.norm_squared().max(1e-12);
    from + along * share.clamp(0.0, 1.0)
}

/// The distance along a face between two feels on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lever {
    /// Where the other feel starts, work frame, mm.
    pub(crate) from: Point3<f64>,
    /// Its length, mm.
    pub(crate) length: f64,
    /// It is measured along Y, else along X.
    pub(crate) along_y: bool,
}

/// The lever from the last feel on the face that a feel in this direction meets, to the torch. A feel
/// from where the torch stands does not count.
pub(crate) fn lever(routine: &Routine, torch: &Point3<f64>, aim: Aim) -> Option<Lever> {
    let along_y = match aim {
        Aim::PlusX | Aim::MinusX => true,
        Aim::PlusY | Aim::MinusY => false,
        Aim::MinusZ => return None,
    };
    let start = |instruction: &Instruction| match instruction {
        Instruction::Feel { from, direction, .. } if aim.is(direction) => {
            Some(routine.point(from)?.at)
        }
        _ => None,
    };
    let length =
        |from: &Point3<f64>| (if along_y { torch.y - from.y } else { torch.x - from.x }).abs();
    let mut starts = routine.steps.iter().rev().filter_map(|step| start(&step.instruction));
    let from = starts.find(|from| length(from) > 0.5)?;
    Some(Lever { from, length: length(&from), along_y })
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::cell::{CellSettings, part_by_name};
    use nudgeproof::routine::{PathKind, Step, StepId, TaughtPoint};

    fn part() -> Part {
        part_by_name("bench-side").expect("it comes with the program")
    }

    fn cell() -> Cell {
        Cell::new(&part(), &CellSettings::default(), &[]).expect("it can be used")
    }

    #[test]
    fn the_face_ahead_is_as_far_as_the_side_of_the_wire() {
        let west = ahead(&cell(), &Point3::new(-16.0, 205.0, 5.0), Aim::PlusX).expect("a face");
        assert!((west.distance - 15.4).abs() < 1e-6, "16 mm less half a wire: {}", west.distance);
        assert!(west.on_part, "of the part: {}", west.body);
        assert!((west.contact.x + 0.6).abs() < 1e-6, "the torch at contact: {}", west.contact);
        assert_eq!(ahead(&cell(), &Point3::new(-16.0, 205.0, 5.0), Aim::MinusX), None, "nothing");
        let stop = ahead(&cell(), &Point3::new(200.0, -150.0, 5.0), Aim::PlusY).expect("a stop");
        assert_eq!((stop.on_part, &*stop.body), (false, "south stop"), "a stop in the way");
        assert!((stop.distance - 63.0).abs() < 1e-6, "the nozzle meets it: {}", stop.distance);
    }

    #[test]
    fn a_tip_is_inside_metal_only_when_all_of_it_is() {
        let metal = Metal::new(&part(), &Pose::default(), &OwnMotions::new());
        let inside = |x: f64, y: f64, z: f64| metal.around(&Point3::new(x, y, z), 0.6);
        let base = part().bodies[0].name.clone();
        assert_eq!(inside(40.0, 40.0, 5.0), Some(base.as_str()), "in the plate");
        assert_eq!(inside(40.0, 40.0, 12.0), None, "on it");
        assert_eq!(inside(-0.6, 40.0, 5.0), None, "beside it");
        assert_eq!(inside(0.3, 40.0, 5.0), None, "half in");
        let seam = &part().seams[0];
        assert_eq!(inside(seam.from.x, seam.from.y, seam.from.z), None, "at the seam");
        let clamp = &part().clamps[0];
        let (lo, hi) = clamp.outline.bounds();
        let middle = [f64::midpoint(lo.x, hi.x), f64::midpoint(lo.y, hi.y)];
        assert_eq!(inside(middle[0], middle[1], 5.0), Some(clamp.name.as_str()), "in a clamp");
    }

    #[test]
    fn the_top_moves_with_the_part() {
        let base = part().bodies[0].clone();
        let lifted = Pose::new(Vector3::z() * 3.0, Vector3::zeros());
        let top = |pose| Metal::new(&part(), &pose, &OwnMotions::new()).top(&base.name);
        assert_eq!(top(Pose::default()), Some(base.z[1]), "as drawn");
        assert_eq!(top(lifted), Some(base.z[1] + 3.0), "lifted by 3 mm");
    }

    #[test]
    fn a_line_is_measured_to_its_nearer_end_beyond_it() {
        let line = [Point3::new(0.0, 0.0, 0.0), Point3::new(100.0, 0.0, 0.0)];
        assert_eq!(to_line(&Point3::new(50.0, 30.0, 40.0), line), 50.0, "at right angles");
        assert_eq!(to_line(&Point3::new(-3.0, 4.0, 0.0), line), 5.0, "before its start");
    }

    #[test]
    fn a_lever_runs_along_the_face_to_the_last_feel_on_it() {
        let feel = |id, from: &str, aim: Aim| Step {
            id: StepId(id),
            instruction: Instruction::Feel {
                from: from.into(),
                way: PathKind::Joint,
                direction: aim.vector(),
                face: aim.face().into(),
            },
        };
        let point =
            |name: &str, x, y| TaughtPoint { name: name.into(), at: Point3::new(x, y, 5.0) };
        let routine = Routine {
            points: vec![point("south-1", 350.0, -16.0), point("west-1", -16.0, 35.0)],
            steps: vec![feel(1, "south-1", Aim::PlusY), feel(2, "west-1", Aim::PlusX)],
        };
        let west = lever(&routine, &Point3::new(-16.0, 205.0, 5.0), Aim::PlusX).expect("a lever");
        assert_eq!((west.length, west.along_y), (170.0, true), "along the west face");
        let south = lever(&routine, &Point3::new(50.0, -16.0, 5.0), Aim::PlusY).expect("a lever");
        assert_eq!((south.length, south.along_y), (300.0, false), "along the south face");
        assert_eq!(lever(&routine, &Point3::new(-16.0, 35.0, 5.0), Aim::PlusX), None, "itself");
        assert_eq!(lever(&routine, &Point3::origin(), Aim::MinusX), None, "no feel on this face");
    }
}
