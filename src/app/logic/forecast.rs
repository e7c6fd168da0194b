//! The spread at the seam that the planned touches will give, before anything runs.

use super::shown::{reference_pose, weld_points};
use nudgeproof::cell::{Cell, SearchResult};
use nudgeproof::geometry::{Point3, Pose, Vector3};
use nudgeproof::locate::{Covariance, Touch, forecast};
use nudgeproof::routine::{Instruction, ProbePlan, Routine, reading_sigma};
use nudgeproof::session::State;
use std::f64::consts::SQRT_2;

/// Standard deviations that the page states: a normally distributed value stays inside 99.7 times in
/// 100 (JCGM 100:2008, annex G).
pub(crate) const SIGMAS: f64 = 3.0;

/// One touch of the probe plan.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlannedTouch {
    pub(crate) face: String,
    /// Name of the point it starts from.
    pub(crate) point: String,
    /// Where this point is, work frame, mm.
    pub(crate) from: Point3<f64>,
    pub(crate) direction: Vector3<f64>,
    /// First contact of the wire with the part where it was taught, work frame, mm.
    pub(crate) contact: Option<Point3<f64>>,
}

impl PlannedTouch {
    /// How far the wire moves before it touches, mm.
    pub(crate) fn distance(&self) -> Option<f64> {
        Some((self.contact? - self.from).norm())
    }
}

/// One stretch of probing: its plan and its touches.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlannedBlock {
    pub(crate) plan: ProbePlan,
    pub(crate) touches: Vec<PlannedTouch>,
}

/// The spread of one end of the weld.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct EndSpread {
    /// The end as taught, work frame, mm.
    pub(crate) at: Point3<f64>,
    /// One standard deviation across the seam, mm.
    pub(crate) across: f64,
    /// The ellipse of one standard deviation on the plan: half axes, mm, and the angle of the
    /// first from X, radians.
    pub(crate) ellipse: [f64; 3],
}

/// What the current routine will achieve, before anything runs.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SeamForecast {
    /// Every block of probing in the order of the routine.
    pub(crate) blocks: Vec<PlannedBlock>,
    /// Where the part lay when it was taught: work frame from part frame.
    pub(crate) reference: Pose,
    /// The spread of both ends of the weld by the first block, or why there is none. `None` without
    /// any probing.
    pub(crate) ends: Option<Result<Vec<EndSpread>, String>>,
}

impl SeamForecast {
    pub(crate) fn of(state: &State) -> Self {
        let blocks = blocks(state);
        let ends = blocks.first().map(|block| spreads(state, block));
        Self { blocks, reference: reference_pose(state).unwrap_or_default(), ends }
    }
}

/// Every block of probing in the order of the routine, the touches as the cell without faults
/// gives them.
fn blocks(state: &State) -> Vec<PlannedBlock> {
    let cell = Cell::new(&state.part, &state.settings, &[]).ok().map(|mut cell| {
        cell.place_part(reference_pose(state).unwrap_or_default());
        cell
    });
    let routine: &Routine = &state.routine;
    let mut out: Vec<PlannedBlock> = Vec::new();
    for step in &routine.steps {
        match &step.instruction {
            Instruction::BeginProbing { plan } => {
                let plan = routine.plan(plan).cloned();
                out.extend(plan.map(|plan| PlannedBlock { plan, touches: Vec::new() }));
            }
            Instruction::Probe { from, direction, face } => {
                let (Some(block), Some(start)) = (out.last_mut(), routine.point(from)) else {
                    continue;
                };
                let found = cell
                    .as_ref()
                    .map(|cell| cell.search(&start.at, direction, block.plan.reach_mm));
                let contact = match found {
                    Some(SearchResult::Touch(touch)) => Some(touch.contact),
                    _ => None,
                };
                block.touches.push(PlannedTouch {
                    face: face.clone(),
                    point: from.clone(),
                    from: start.at,
                    direction: *direction,
                    contact,
                });
            }
            _ => {}
        }
    }
    out
}

/// The spread of both ends of the weld by the touches of a block, or why there is none.
fn spreads(state: &State, block: &PlannedBlock) -> Result<Vec<EndSpread>, String> {
    let mut faces: Vec<&str> = Vec::new();
    let mut touches = Vec::new();
    for t in &block.touches {
        let face = faces.iter().position(|f| *f == t.face).unwrap_or_else(|| {
            faces.push(&t.face);
            faces.len() - 1
        });
        touches.push(Touch::taught(face, t.direction, t.contact.unwrap_or(t.from)));
    }
    // Reference and production have the same noise.
    let sigma = reading_sigma(&state.settings, block.plan.speed_mm_s) * SQRT_2;
    let forecast = forecast(block.plan.freedoms, &touches, sigma).map_err(|refusal| {
        let name = |i: usize| faces.get(i).map_or_else(String::new, |f| (*f).to_owned());
        refusal.message(&name, &|i| (i + 1).to_string())
    })?;
    let ends = ends(state);
    let along = ends[1] - ends[0];
    let spread = ends.map(|at| EndSpread {
        at,
        across: forecast.at_point(&at, &along).sigma_across_mm,
        ellipse: ellipse(&forecast.covariance, &at),
    });
    Ok(spread.to_vec())
}

/// Both ends of the weld as taught; where they are not taught yet, those of the first seam.
fn ends(state: &State) -> [Point3<f64>; 2] {
    let taught = weld_points(&state.routine);
    let pose = reference_pose(state).unwrap_or_default();
    let seam = state.part.seams.first().map(|s| [pose.point(&s.from), pose.point(&s.to)]);
    let seam = seam.unwrap_or_else(|| [Point3::origin(); 2]);
    [taught[0].unwrap_or(seam[0]), taught[1].unwrap_or(seam[1])]
}

/// The principal axes of a symmetric 2 × 2 matrix (closed form).
fn ellipse(covariance: &Covariance, at: &Point3<f64>) -> [f64; 3] {
    let c = covariance.of_point(&at.coords);
    let (a, b, d) = (c[(0, 0)], c[(0, 1)], c[(1, 1)]);
    let (mean, half) = (f64::midpoint(a, d), libm::hypot((a - d) / 2.0, b));
    let axis = |v: f64| v.max(0.0).sqrt();
    [axis(mean + half), axis(mean - half), 0.5 * libm::atan2(2.0 * b, a - d)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::session::Session;

    fn example() -> Session {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        Session::from_json(text).expect("a session of ours")
    }

    #[test]
    fn the_plan_is_read_with_the_distance_to_each_contact() {
        let blocks = blocks(example().state());
        let [block] = &blocks[..] else { panic!("one block, found {}", blocks.len()) };
        assert_eq!(block.touches.len(), 4, "four touches");
        for t in &block.touches {
            // Taught 16 mm before the face; the wire of 1.2 mm touches with its side.
            let d = t.distance().expect("it touches");
            assert!((d - 15.4).abs() < 1e-6, "{}: {d} mm", t.point);
        }
    }

    #[test]
    fn the_ellipse_holds_what_the_solver_says_across_the_seam() {
        let session = example();
        let state = session.state();
        let block = blocks(state).remove(0);
        for end in spreads(state, &block).expect("it can be forecast") {
            // The seam runs along X, so across it is the ellipse's extent along Y.
            let [a, b, angle] = end.ellipse;
            let y = libm::hypot(a * libm::sin(angle), b * libm::cos(angle));
            assert!((y - end.across).abs() < 1e-9, "{y} and {}", end.across);
        }
    }
}
