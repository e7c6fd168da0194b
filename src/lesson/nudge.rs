//! Where a nudge puts a part, and the bodies that move on it by themselves: drawn so that the weld shows it.

use crate::cell::{FixturePlay, Noise, Part, Seam};
use crate::geometry::{Point3, Pose, PoseFile, Vector3};
use crate::locate::Freedoms;
use crate::routine::{Routine, RunSpeed};
use crate::session::{Action, Header, Session};
use std::collections::BTreeMap;

/// Where the part is put, and where each body that moves by itself then lies on it, by name.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Nudge {
    pub(super) part: PoseFile,
    pub(super) bodies: BTreeMap<String, PoseFile>,
}

impl Nudge {
    /// As it is drawn: the part and every body of it in its place.
    pub(super) fn back(part: &Part) -> Self {
        let bodies = part.own_motions(|_| Pose::identity());
        let bodies = bodies.into_iter().map(|(name, pose)| (name, pose.into())).collect();
        Self { part: PoseFile::default(), bodies }
    }

    /// The action that puts it there.
    pub(super) fn action(&self) -> Action {
        Action::PlacePart { part: self.part, bodies: self.bodies.clone() }
    }
}

/// Least and greatest share of the play that a nudge uses: large enough to show, and off the limits.
const NUDGE: (f64, f64) = (0.4, 0.85);

/// The same of a part that lies as far away as it may: an odd reading, and nothing is wrong.
const FAR: (f64, f64) = (0.9, 0.98);

/// The same of a body on its part, whose play is little more than the tolerance of its seam; and by how
/// many tolerances a weld misses that does not see it.
const OF_BODY: (f64, f64) = (0.55, 0.95);
const OF_TOLERANCE: f64 = 1.4;

/// How often a nudge is drawn until it shows in the weld.
const DRAWS: usize = 60;

/// A nudge of the part, large enough to show.
pub(super) fn near(play: &FixturePlay, dice: &mut Noise) -> PoseFile {
    nudge(play, NUDGE, dice)
}

/// The same at the limits of the play.
pub(super) fn far(play: &FixturePlay, dice: &mut Noise) -> PoseFile {
    nudge(play, FAR, dice)
}

/// Where each body that moves by itself lies on its part, by name: so that a weld that is located by
/// another body misses. Those that are `still` lie as they are drawn.
pub(super) fn of_bodies(
    part: &Part,
    still: &[String],
    dice: &mut Noise,
) -> BTreeMap<String, PoseFile> {
    let mut all = BTreeMap::new();
    for body in &part.bodies {
        let Some(play) = &body.play else { continue };
        let mut draw = || nudge(play, OF_BODY, dice);
        let carried = |seam: &&Seam| seam.body.as_deref() == Some(&body.name);
        let shows = |n: &PoseFile| {
            let mut carried = part.seams.iter().filter(carried);
            carried.all(|seam| shows_across(seam, n)) && play.allows(&Pose::from(*n))
        };
        let put = if still.contains(&body.name) {
            PoseFile::default()
        } else {
            let first = draw();
            std::iter::repeat_with(draw).take(DRAWS).find(shows).unwrap_or(first)
        };
        all.insert(body.name.clone(), put);
    }
    all
}

/// Whether a weld that does not see this motion of its body misses at one end, by so much that the
/// scatter of the touches makes no difference.
fn shows_across(seam: &Seam, nudge: &PoseFile) -> bool {
    let pose = Pose::from(*nudge);
    let across = across(seam) * libm::cos(seam.work_angle_deg().to_radians());
    let off = |end: &Point3<f64>| pose.displacement(end).dot(&across).abs();
    off(&seam.from).max(off(&seam.to)) > OF_TOLERANCE * seam.tolerance_mm
}

/// The level direction across a seam.
fn across(seam: &Seam) -> Vector3<f64> {
    Vector3::z().cross(&(seam.to - seam.from)).try_normalize(1e-9).unwrap_or_default()
}

/// A nudge that shows in a weld that is not carried. What is `still` it leaves as it is.
pub(super) fn missed_if_not_carried(part: &Part, still: Freedoms, dice: &mut Noise) -> PoseFile {
    let play = part.play.without(still);
    let draw = || nudge(&play, NUDGE, dice);
    let mut all = std::iter::repeat_with(draw).take(DRAWS);
    let fits = |n: &PoseFile| part.play.allows(&Pose::from(*n)) && matters(part, &play, n);
    all.find(fits).unwrap_or_default()
}

/// Whether the nudge shows in a weld that is not carried: it moves the seam sideways by more than
/// twice its tolerance, and, where this play lets it change its height, up or down by so much that
/// this alone makes the weld miss.
fn matters(part: &Part, play: &FixturePlay, nudge: &PoseFile) -> bool {
    let pose = Pose::from(*nudge);
    part.seams.iter().take(1).any(|seam| {
        let across = across(seam);
        let most = |way: &Vector3<f64>| {
            let [a, b] = [&seam.from, &seam.to].map(|p| pose.displacement(p).dot(way).abs());
            a.max(b)
        };
        let beside = libm::sin(seam.work_angle_deg().to_radians());
        let sideways = most(&across) > 2.0 * seam.tolerance_mm;
        let upwards = most(&Vector3::z()) * beside > 1.7 * seam.tolerance_mm;
        sideways && (upwards || play.dz == 0.0)
    })
}

/// Least and greatest share of the play that a nudge uses on which a weld shall miss: the plate of a part that comes much nearer stops
/// the torch.
const MISSING_NUDGE: (f64, f64) = (0.1, 0.85);
const MOST_TOWARDS: f64 = 0.4;

/// A nudge on which the weld misses that is not carried, and on which the torch gets past the upright
/// plate, so that the miss can be read. On either side of the seam about as often.
pub(super) fn missing(part: &Part, plain: &Routine, dice: &mut Noise) -> PoseFile {
    let towards = dice.uniform() < 0.5;
    let mut other = None;
    for _ in 0..DRAWS {
        let most = if towards { MOST_TOWARDS } else { MISSING_NUDGE.1 };
        let nudge = nudge(&part.play, (MISSING_NUDGE.0, most), dice);
        let Some(mm) = Some(&nudge)
            .filter(|n| matters(part, &part.play, n))
            .and_then(|n| miss(part, plain, n))
        else {
            continue;
        };
        if (mm > 0.0) == towards {
            return nudge;
        }
        other = other.or(Some(nudge));
    }
    other.unwrap_or_default()
}

/// The miss of this weld on a part that lies there, mm, if it comes to its end and misses.
fn miss(part: &Part, plain: &Routine, nudge: &PoseFile) -> Option<f64> {
    let actions = [
        Action::LoadRoutine { routine: plain.clone() },
        Action::place_part(*nudge),
        Action::Run { speed: RunSpeed::Reduced, arc: false, steps: None },
    ];
    let session = Session::replay(Header::new(part.clone(), 0), actions).ok()?;
    let run = session.state().last_run()?;
    run.worst_miss().filter(|_| run.finished() && !run.landed())
}

/// A nudge rounded as people type it: to 0.1 mm and 0.1°, tilts to 0.01°.
fn nudge(play: &FixturePlay, (least, most): (f64, f64), dice: &mut Noise) -> PoseFile {
    let mut some = |limit: f64| {
        let (size, sign) = (dice.uniform(), dice.uniform());
        let share = least + (most - least) * size;
        limit * if sign < 0.5 { -share } else { share }
    };
    let shift = Vector3::new(some(play.dx), some(play.dy), some(play.dz));
    let tilt = play.tilt_deg.to_radians();
    let turn = Vector3::new(some(tilt), some(tilt), some(play.turn_deg.to_radians()));
    let f = PoseFile::from(play.pose(shift, turn));
    // With one freedom only, rounding to tenths would soon repeat a nudge.
    let grain = if play.freedoms().count() == 1 { 100.0 } else { 10.0 };
    let tenth = |v: f64| (v * grain).round() / grain + 0.0;
    let hundredth = |v: f64| (v * 100.0).round() / 100.0 + 0.0;
    PoseFile {
        dx: tenth(f.dx),
        dy: tenth(f.dy),
        dz: tenth(f.dz),
        tilt_x_deg: hundredth(f.tilt_x_deg),
        tilt_y_deg: hundredth(f.tilt_y_deg),
        turn_deg: tenth(f.turn_deg),
    }
}
