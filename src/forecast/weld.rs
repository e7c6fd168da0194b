use super::no_forecast::NoForecast;
use super::planned::{PlannedFind, finds};
use super::spread::PlaceSpread;
use crate::cell::{Seam, SeamLine};
use crate::geometry::{Point3, Pose};
use crate::locate::{Covariance, Freedoms, STATED_SIGMAS};
use crate::routine::{FindBlock, Routine, Structure, Weld};
use crate::session::State;

/// What a routine will achieve, before anything runs.
#[derive(Debug, Clone, PartialEq)]
pub struct SeamForecast {
    /// Every find in the order of the routine.
    pub finds: Vec<PlannedFind>,
    /// Where the part lay when it was taught: work frame from part frame.
    pub reference: Pose,
    /// Where the weld of each seam will lie, in the order of the seams; none without any find.
    pub welds: Vec<WeldForecast>,
}

/// Where the weld of one seam will lie.
#[derive(Debug, Clone, PartialEq)]
pub struct WeldForecast {
    /// Name of the seam.
    pub seam: String,
    /// The find that decides where it lies, among the finds of the routine from 0.
    pub find: usize,
    /// The seam where the part lay when it was taught.
    pub line: SeamLine,
    /// What is allowed across the wire, mm.
    pub tolerance_mm: f64,
    /// The spread of both ends by the find whose place the weld follows, or why there is none.
    pub ends: Result<[EndSpread; 2], NoForecast>,
}

/// The spread of one end of a weld.
#[derive(Debug, Clone, PartialEq)]
pub struct EndSpread {
    /// The end as taught, work frame, mm.
    pub at: Point3<f64>,
    /// One standard deviation across seam and wire, mm.
    pub across: f64,
    /// The ellipse of one standard deviation on the plan: half axes, mm, and the angle of the first from X,
    /// radians.
    pub ellipse: [f64; 3],
    /// What each touch adds, in the order of the routine.
    pub touches: Vec<TouchShare>,
    /// How much of the variance comes from a wrong angle, seen from the middle of the touches, and not from a
    /// slide: 0 to 1.
    pub angle_share: f64,
}

/// What one touch adds to the spread of a weld end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TouchShare {
    /// Index of its step.
    pub step: usize,
    /// Its share of the variance, 0 to 1.
    pub share: f64,
}

impl EndSpread {
    /// The touch that adds most.
    pub fn worst_touch(&self) -> Option<TouchShare> {
        self.touches.iter().copied().max_by(|a, b| a.share.total_cmp(&b.share))
    }
}

impl WeldForecast {
    /// Three standard deviations across the wire at both ends, mm.
    pub fn across(&self) -> Option<[f64; 2]> {
        let ends = self.ends.as_ref().ok()?;
        Some([0, 1].map(|i| STATED_SIGMAS * ends[i].across))
    }
}

impl SeamForecast {
    /// The forecast of a session's routine.
    pub fn of(state: &State) -> Self {
        Self::of_routine(state, &state.routine)
    }

    /// The same for another routine in the place of the present one.
    pub fn of_routine(state: &State, routine: &Routine) -> Self {
        let structure = Structure::of(routine);
        let finds = finds(state, routine, &structure);
        let reference = state.reference_pose().unwrap_or_default();
        let asked: Freedoms = finds.iter().map(|find| find.may).collect();
        let free = state.part.play.free();
        let one_way = asked.contains(Freedoms::ALONG_SEARCH);
        let left_out = if one_way { Freedoms::empty() } else { free.difference(asked) };
        let weld = |(n, seam): (usize, &Seam)| {
            let weld = weld_for(n, &state.part.seams, routine, &structure);
            let find = decisive(&structure, weld, seam);
            finds.get(find)?;
            let line = seam.at(&reference);
            let ends = spreads(&finds, find, &line, ends(routine, weld, &line));
            let ends = match ends {
                Ok(_) if !left_out.is_empty() => Err(NoForecast::left_out(left_out)),
                ends => ends,
            };
            let (seam, tolerance_mm) = (seam.name.clone(), seam.tolerance_mm);
            Some(WeldForecast { seam, find, line, tolerance_mm, ends })
        };
        let welds = state.part.seams.iter().enumerate().filter_map(weld).collect();
        Self { finds, reference, welds }
    }

    /// The spread of every end that has one.
    pub fn ends(&self) -> impl Iterator<Item = &EndSpread> {
        self.welds.iter().flat_map(|weld| &weld.ends).flatten()
    }

    /// Whether some weld has none, though the routine finds a place.
    pub fn lacks(&self) -> bool {
        self.welds.iter().any(|weld| weld.ends.is_err())
    }
}

/// The find, among the finds of a routine from 0, that decides where the weld of a seam lands: the last
/// before it of the place it follows; before it is taught, that of the seam's own place; else the first.
fn decisive(structure: &Structure, weld: Option<&Weld>, seam: &Seam) -> usize {
    let own = |find: &FindBlock| Some(&find.place) == seam.place.as_ref();
    let of_place = || structure.finds.iter().rposition(own).filter(|_| weld.is_none());
    decisive_find(structure, weld).or_else(of_place).unwrap_or(0)
}

/// The find that decides where a weld lands, among the finds of its routine from 0: the last before it of
/// the place it follows.
pub fn decisive_find(structure: &Structure, weld: Option<&Weld>) -> Option<usize> {
    let start = weld?.start?;
    let follow = structure.follow_at(start)?;
    let same = |find: &FindBlock| find.step < start && find.place == follow.place;
    structure.finds.iter().rposition(same)
}

/// The weld that is meant for seam `n` of the part, from 0: the first of those that no other seam is nearer
/// to.
fn weld_for<'s>(
    n: usize,
    seams: &[Seam],
    routine: &Routine,
    structure: &'s Structure,
) -> Option<&'s Weld> {
    let middle = |[a, b]: [Point3<f64>; 2]| a + (b - a) / 2.0;
    structure.welds.iter().find(|weld| {
        let taught = [weld.start, weld.end].map(|step| taught(routine, step));
        let Some(at) = (match taught {
            [Some(a), Some(b)] => Some(middle([a, b])),
            [a, b] => a.or(b),
        }) else {
            return false;
        };
        let off = |seam: &Seam| (middle([seam.from, seam.to]) - at).norm();
        let nearest = (0..seams.len()).min_by(|a, b| off(&seams[*a]).total_cmp(&off(&seams[*b])));
        nearest == Some(n)
    })
}

/// Where the point of a step is taught.
fn taught(routine: &Routine, step: Option<usize>) -> Option<Point3<f64>> {
    Some(routine.point(routine.steps[step?].instruction.point()?)?.at)
}

/// Both ends of a weld as taught; where they are not taught yet, those of the seam.
fn ends(routine: &Routine, weld: Option<&Weld>, seam: &SeamLine) -> [Point3<f64>; 2] {
    let [start, end] = weld.map_or([None; 2], |weld| [weld.start, weld.end]);
    [taught(routine, start).unwrap_or(seam.from), taught(routine, end).unwrap_or(seam.to)]
}

/// The spread of both ends of a weld by the touches of a find, or why there is none.
fn spreads(
    finds: &[PlannedFind],
    find: usize,
    seam: &SeamLine,
    ends: [Point3<f64>; 2],
) -> Result<[EndSpread; 2], NoForecast> {
    let spread = PlaceSpread::of(finds, find)?;
    let covariance = spread.covariance();
    Ok(ends.map(|at| {
        let parts: Vec<(usize, f64)> = spread.parts(&at, &seam.across_wire).collect();
        let variance: f64 = parts.iter().map(|(_, mm)| mm * mm).sum();
        let share = |mm: f64| if variance > 0.0 { mm * mm / variance } else { 0.0 };
        EndSpread {
            at,
            across: variance.sqrt(),
            ellipse: ellipse(&covariance, &at),
            touches: parts
                .iter()
                .map(|(step, mm)| TouchShare { step: *step, share: share(*mm) })
                .collect(),
            angle_share: spread.angle_share(&at, &seam.across_wire),
        }
    }))
}

/// The principal axes of a symmetric 2 × 2 matrix (closed form).
fn ellipse(covariance: &Covariance, at: &Point3<f64>) -> [f64; 3] {
    let c = covariance.of_point(&at.coords);
    let (a, b, d) = (c[(0, 0)], c[(0, 1)], c[(1, 1)]);
    let (mean, half) = (f64::midpoint(a, d), libm::hypot((a - d) / 2.0, b));
    let axis = |v: f64| v.max(0.0).sqrt();
    [axis(mean + half), axis(mean - half), 0.5 * libm::atan2(2.0 * b, a - d)]
}
