//! The whole idea in three runs of one part: it welds where it was taught, it misses once the part is
//! nudged, and it lands after the part was felt. All of it is played by the program itself.

use super::projection::PlanProjection;
use kurbo::{Affine, Point, Vec2};
use nudgeproof::cell::{Part, first_part};
use nudgeproof::geometry::{Point2, Point3, Pose, PoseFile};
use nudgeproof::lesson::{model_routine, plain_routine};
use nudgeproof::routine::{Routine, RunLog, RunSpeed, SearchOutcome, WeldTrace};
use nudgeproof::session::{Action, Header, Session};

/// Seed of the readings' noise.
const SEED: u64 = 1;
/// The nudge: within the play of the first part, and away from its upright plate, which the torch
/// would otherwise strike.
const NUDGE: PoseFile =
    PoseFile { dx: 5.5, dy: -3.0, dz: 0.0, turn_deg: 2.5, tilt_x_deg: 0.0, tilt_y_deg: 0.0 };

/// The three runs.
#[derive(Debug, Clone)]
pub(crate) struct Idea {
    pub(crate) part: Part,
    /// Where the part lies after the nudge, work frame from part frame.
    pub(crate) nudged: Pose,
    /// The weld where it was taught.
    pub(crate) taught: WeldTrace,
    /// The same weld once the part is nudged.
    pub(crate) missed: WeldTrace,
    /// The weld after the part was felt.
    pub(crate) landed: WeldTrace,
    pub(crate) touches: Vec<IdeaTouch>,
    /// The offset that the touches gave, work frame.
    pub(crate) offset: Pose,
}

/// A touch of the last run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct IdeaTouch {
    /// Where the search began, and where the wire touched; work frame, mm.
    pub(crate) from: Point3<f64>,
    pub(crate) contact: Point3<f64>,
    /// How much farther along the search it reads than in the reference run, mm.
    pub(crate) later_mm: f64,
}

impl Idea {
    /// Plays the runs. `None` if the program's own first part could not be welded so: a test sees to
    /// that.
    pub(crate) fn play() -> Option<Self> {
        let part = first_part();
        let load = |routine: Routine| Action::LoadRoutine { routine };
        let run = |arc| Action::Run { speed: RunSpeed::Reduced, arc, steps: None };
        let actions = [
            load(plain_routine(&part)),
            run(false),
            Action::place_part(NUDGE),
            run(false),
            Action::place_part(PoseFile::default()),
            load(model_routine(&part)),
            Action::SetReference { on: true },
            run(false),
            Action::SetReference { on: false },
            Action::place_part(NUDGE),
            run(true),
        ];
        let session = Session::replay(Header::new(part.clone(), SEED), actions).ok()?;
        let runs: Vec<_> = session.state().runs.iter().collect();
        let [taught, missed, reference, found] = runs[..] else { return None };
        let weld = |run: &RunLog| run.welds.first().cloned();
        let touch = |(now, before): (IdeaReading, IdeaReading)| IdeaTouch {
            from: now.from,
            contact: now.contact,
            later_mm: (now.reading - before.reading).dot(&(now.contact - now.from).normalize()),
        };
        Some(Self {
            nudged: NUDGE.into(),
            taught: weld(taught)?,
            missed: weld(missed)?,
            landed: weld(found)?,
            touches: readings(found).zip(readings(reference)).map(touch).collect(),
            offset: found.found()?.1,
            part,
        })
    }
}

/// What one search read.
struct IdeaReading {
    from: Point3<f64>,
    contact: Point3<f64>,
    reading: Point3<f64>,
}

fn readings(run: &RunLog) -> impl Iterator<Item = IdeaReading> {
    run.searches.iter().filter_map(|search| match search.outcome {
        SearchOutcome::Touch { contact, reading, .. } => {
            Some(IdeaReading { from: search.start, contact, reading })
        }
        _ => None,
    })
}

/// Size of a picture in its own units; it is scaled to the room there is.
pub(crate) const PICTURE: [f64; 2] = [428.0, 256.0];
/// What a picture shows beside the part: this much on each side, mm.
const ROUND_PART: f64 = 70.0;

/// The plan that the pictures are drawn on: the part in their middle.
pub(crate) fn picture_plan(part: &Part) -> PlanProjection {
    let [low, high] = part_bounds(part);
    let middle = low + (high - low) / 2.0;
    let [width, height] = PICTURE;
    let scale =
        (width / (high.x - low.x + 2.0 * ROUND_PART)).min(height / (high.y - low.y + ROUND_PART));
    PlanProjection::new(scale, middle, Point::new(width / 2.0, height / 2.0))
}

/// The corners of the rectangle round a part as it is drawn, mm.
pub(crate) fn part_bounds(part: &Part) -> [Point2<f64>; 2] {
    let mut bounds = part.bodies.iter().map(|body| body.outline.bounds());
    let first = bounds.next().unwrap_or((Point2::origin(), Point2::origin()));
    let (low, high) = bounds.fold(first, |a, b| (a.0.inf(&b.0), a.1.sup(&b.1)));
    [low, high]
}

/// The motion on the drawing that a motion on the plan is.
pub(crate) fn on_drawing(pose: &Pose, plan: &PlanProjection) -> Affine {
    let moved = |at: Point| {
        let p = plan.point_back(at);
        plan.point(&pose.point(&Point3::new(p.x, p.y, 0.0)))
    };
    frame(moved(Point::ORIGIN), moved(Point::new(1.0, 0.0)))
}

/// The frame on the drawing that begins at a point and has its first axis towards another.
pub(crate) fn frame(from: Point, to: Point) -> Affine {
    Affine::translate(from.to_vec2()) * Affine::rotate((to - from).atan2())
}

/// The matrix of a motion, as the `transform` of an element.
pub(crate) fn matrix(motion: Affine) -> String {
    let [a, b, c, d, e, f] = motion.as_coeffs();
    format!("matrix({a:.6} {b:.6} {c:.6} {d:.6} {e:.2} {f:.2})")
}

/// A line on the drawing with a frame of its own: it begins there at the origin, and runs along the
/// first axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct OwnLine {
    pub(crate) frame: Affine,
    pub(crate) length: f64,
    /// Direction on the drawing, unit length.
    pub(crate) along: Vec2,
    pub(crate) end: Point,
}

impl OwnLine {
    pub(crate) fn new(from: &Point3<f64>, to: &Point3<f64>, plan: &PlanProjection) -> Self {
        let [from, end] = [from, to].map(|p| plan.point(p));
        let length = (end - from).hypot();
        Self { frame: frame(from, end), length, along: (end - from) / length.max(1e-9), end }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_three_runs_tell_the_idea() {
        let idea = Idea::play().expect("it can be played");
        assert!(idea.taught.landed, "taught here, it lands");
        assert!(!idea.missed.landed, "nudged, it misses");
        assert!(idea.landed.landed, "felt, it lands");
        assert_eq!(idea.touches.len(), 4, "four touches");
        // The seam's end, (360, 160), moves up by −3 + 360 sin 2.5° − 160 (1 − cos 2.5°).
        let (sin, cos) = (libm::sin(2.5_f64.to_radians()), libm::cos(2.5_f64.to_radians()));
        let up = -3.0 + 360.0 * sin - 160.0 * (1.0 - cos);
        let miss = idea.missed.miss[1].across_mm;
        // Told across the wire, which leans by 45°. The seam itself is turned by so little that 0.3 mm
        // will do.
        let expected = -up * libm::cos(45.0_f64.to_radians());
        assert!((miss - expected).abs() < 0.3, "{miss} mm, and by hand {expected} mm");
        // The first touch of the south side, at X 350.
        let first = idea.touches.iter().find(|t| (t.from.x - 350.0).abs() < 1e-9);
        let later = first.expect("a touch at X 350").later_mm;
        // tan 2.5° over the 350 − 5.5 mm from where the corner went.
        let expected = -3.0 + (350.0 - 5.5) * sin / cos;
        assert!((later - expected).abs() < 0.5, "{later} mm read, {expected} mm by hand");
    }

    #[test]
    fn the_nudge_is_one_that_the_fixture_lets_happen() {
        let idea = Idea::play().expect("it can be played");
        let play = &idea.part.play;
        let shift = idea.nudged.displacement(&play.about.into());
        assert!(shift.x.abs() <= play.dx && shift.y.abs() <= play.dy, "{shift:?} within the play");
        assert!(NUDGE.turn_deg.abs() <= play.turn_deg, "and the turn");
    }

    #[test]
    fn a_motion_is_drawn_as_it_moves_points() {
        let part = first_part();
        let plan = picture_plan(&part);
        let pose: Pose = NUDGE.into();
        for p in [Point3::new(0.0, 0.0, 0.0), Point3::new(400.0, 250.0, 0.0)] {
            let (moved, drawn) =
                (plan.point(&pose.point(&p)), on_drawing(&pose, &plan) * plan.point(&p));
            assert!((moved - drawn).hypot() < 1e-6, "{moved:?} {drawn:?}");
        }
    }

    #[test]
    fn the_part_fits_into_the_picture() {
        let part = first_part();
        let plan = picture_plan(&part);
        for corner in part_bounds(&part) {
            let at = plan.point(&Point3::new(corner.x, corner.y, 0.0));
            assert!(
                at.x > 10.0 && at.x < PICTURE[0] - 10.0 && at.y > 10.0 && at.y < PICTURE[1] - 10.0,
                "{at:?}"
            );
        }
    }
}
