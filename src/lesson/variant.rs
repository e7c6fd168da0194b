//! What the seed of an attempt decides: part, nudge, direction of the weld, and in a drill the fault.

use super::drill::{self, Drawn, FaultTemplate};
use super::file::{LessonFile, StartDraw, StartRoutine};
use super::model;
use super::sheet;
use crate::cell::{FixturePlay, Noise, Part, part_by_name};
use crate::geometry::{Pose, PoseFile, Vector3};
use crate::locate::Freedoms;
use crate::routine::{Routine, RunSpeed};
use crate::session::{Action, Header, Session};

/// What one attempt has of its own.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Variant {
    pub(super) part: Part,
    /// The touches of the job, face by face, in the order in which they are made.
    pub(super) faces: model::Faces,
    /// The model routine of this part.
    pub(super) model: Routine,
    /// The weld of the model routine alone.
    pub(super) plain: Routine,
    /// What is on the sheet at the start, without the mistakes in it.
    pub(super) mended: Routine,
    /// Where the part is moved to.
    pub(super) nudge: PoseFile,
    /// Where it is moved to later on.
    pub(super) nudge_again: PoseFile,
    /// How the lesson begins, of what it may draw.
    pub(super) drawn: StartDraw,
    /// What is planted in a drill.
    pub(super) planted: Option<Drawn>,
}

/// Least and greatest share of the play that a nudge uses: large enough to show, and off the limits.
const NUDGE: (f64, f64) = (0.4, 0.85);

/// The same of a part that lies as far away as it may: an odd reading, and nothing is wrong.
const FAR: (f64, f64) = (0.9, 0.98);

/// How often a drill may draw its fault until one shows.
pub(super) const DRAWS: usize = 60;

impl Variant {
    /// Draws the attempt of this seed. The file's own seed takes the first part and welds forwards;
    /// `draw` counts earlier draws of the fault. `None` if a part is unknown.
    pub(super) fn draw(file: &LessonFile, seed: u64, draw: usize) -> Option<Self> {
        let mut dice = Noise::new(seed, 0, draw as u64);
        let own = seed == file.seed;
        let names: Vec<&str> =
            std::iter::once(&file.part).chain(&file.other_parts).map(String::as_str).collect();
        let (other, direction) = (dice.index(names.len()), dice.uniform());
        let mut name = if own { names[0] } else { names[other] };
        let first = file.causes.get(drill::first_cause(seed, draw, file.causes.len()));
        if let Some(on) = first.and_then(FaultTemplate::on) {
            name = on;
        }
        let part = part_by_name(name)?;
        // Of another stream, so that the rest of an attempt does not depend on what may be drawn.
        let mut other_dice = Noise::new(seed, u64::MAX, draw as u64);
        let drawn = other_dice.index(file.start.draws.len());
        let drawn = file.start.draws.get(if own { 0 } else { drawn }).cloned().unwrap_or_default();
        let still = drawn.still;
        let backwards = !own && direction < 0.5;
        let (faces, model) = model::job(&part, backwards);
        let plain = model::plain(&part, backwards);
        let nudge = if own && file.nudge != PoseFile::default() {
            file.nudge
        } else if file.start.sheet == StartRoutine::Plain {
            missing_nudge(&part, &plain, &mut dice)
        } else {
            missed_if_not_carried(&part, still, &mut dice)
        };
        let nudge_again = missed_if_not_carried(&part, Freedoms::default(), &mut other_dice);
        let mended = sheet::with_gaps(file, sheet::named(file, &model, &plain));
        let planted = if file.causes.is_empty() {
            None
        } else {
            let next = self::nudge(&part.play, NUDGE, &mut dice);
            let far = self::nudge(&part.play, FAR, &mut dice);
            let on = (&part, &faces);
            Some(drill::draw(&file.causes, on, [nudge, next, far], (seed, draw))?)
        };
        Some(Self { part, faces, model, plain, mended, nudge, nudge_again, drawn, planted })
    }
}

/// A nudge that shows in a weld that is not carried. What is `still` it leaves as it is.
fn missed_if_not_carried(part: &Part, still: Freedoms, dice: &mut Noise) -> PoseFile {
    let play = part.play.without(still);
    let draw = || nudge(&play, NUDGE, dice);
    let mut all = std::iter::repeat_with(draw).take(DRAWS);
    all.find(|n| matters(part, &play, n)).unwrap_or_default()
}

/// Whether the nudge shows in a weld that is not carried: it moves the seam sideways by more than
/// twice its tolerance, and, where this play lets it change its height, up or down by so much that
/// this alone makes the weld miss.
fn matters(part: &Part, play: &FixturePlay, nudge: &PoseFile) -> bool {
    let pose = Pose::from(*nudge);
    part.seams.iter().take(1).any(|seam| {
        let along = (seam.to - seam.from).try_normalize(1e-9).unwrap_or_default();
        let across = Vector3::z().cross(&along);
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

/// How often a nudge is drawn that shall make the weld miss.
const MISSING_DRAWS: usize = 60;
/// Least and greatest share of the play that it uses: the plate of a part that comes much nearer stops
/// the torch.
const MISSING_NUDGE: (f64, f64) = (0.1, 0.85);
const MOST_TOWARDS: f64 = 0.4;

/// A nudge on which the weld misses that is not carried, and on which the torch gets past the upright
/// plate, so that the miss can be read. On either side of the seam about as often.
fn missing_nudge(part: &Part, plain: &Routine, dice: &mut Noise) -> PoseFile {
    let towards = dice.uniform() < 0.5;
    let mut other = None;
    for _ in 0..MISSING_DRAWS {
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
