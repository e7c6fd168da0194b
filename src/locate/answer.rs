//! The answer of `solve` to a case, in the layout of a case file's `expect`.

use super::case_file::{Case, WeldPoint};
use super::{Fit, Freedoms, LocateError, PointEstimate, locate};
use crate::text::{Sentence, Value, say, word};
use nalgebra::{Point3, Vector3};
use serde::Serialize;

/// The answer to one case: lengths mm, angles degrees.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum CaseAnswer {
    /// The part was located.
    Solved(Box<SolvedCase>),
    /// It was not located, for this reason.
    Refused(RefusedCase),
}

/// A located part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SolvedCase {
    /// Always true.
    pub ok: bool,
    /// Translation of the frame origin, mm.
    pub shift: [f64; 3],
    /// Axis times angle, degrees, work frame.
    pub rotation_vector_deg: [f64; 3],
    /// Freedoms with a turn about Z only: its angle, degrees, positive counter-clockwise.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub theta_deg: Option<f64>,
    /// *Slide one way* only: translation along the first search, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shift_along_search: Option<f64>,
    /// Freedoms with a tilt only: R, row by row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rotation_matrix: Option<[[f64; 3]; 3]>,
    /// Names of the unknowns in the order of `covariance` and `sigma`.
    pub covariance_order: Vec<&'static str>,
    /// Row by row; translations in mm, angles in degrees.
    pub covariance: Vec<Vec<f64>>,
    /// Standard deviations, the roots of the diagonal: mm, degrees.
    pub sigma: Vec<f64>,
    /// Distance of each contact from its moved face, mm, positive = deeper.
    pub residuals_mm: Vec<f64>,
    /// Root mean square of the residuals, mm.
    pub rms_mm: f64,
    /// Number of touches minus number of unknowns.
    pub redundancy: usize,
    /// Sum of squared residuals over sigma squared.
    pub chi2: f64,
    /// Whether the touches agree at the 99 % level.
    pub consistent: bool,
    /// Condition number at the taught contacts.
    pub condition_reference: f64,
    /// Condition number at the solution.
    pub condition_solution: f64,
    /// In the order of the case; absent if the case has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub weld_points: Option<Vec<WeldPointAnswer>>,
}

/// Where a taught weld point is now. Work frame.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WeldPointAnswer {
    /// The moved point, mm.
    pub moved: [f64; 3],
    /// Its displacement, mm.
    pub shift_at_point: [f64; 3],
    /// Standard deviation along the moved seam, mm.
    pub sigma_along_mm: f64,
    /// Standard deviation across the moved seam, mm.
    pub sigma_across_mm: f64,
}

/// A part that could not be located.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RefusedCase {
    /// Always false.
    pub ok: bool,
    /// Short stable name of the reason.
    pub code: &'static str,
    /// The reason in one sentence.
    pub error: Sentence,
}

impl Case {
    /// Solves the case; `sigma_mm` counts where the case has none of its own.
    pub fn solve(&self, sigma_mm: f64) -> CaseAnswer {
        let located = locate(self.freedoms, &self.touches(), self.sigma_mm.unwrap_or(sigma_mm));
        CaseAnswer::new(self, located)
    }
}

impl CaseAnswer {
    /// The answer for the result of a case. Numbers are rounded to 10⁻¹².
    fn new(case: &Case, located: Result<Fit, LocateError>) -> Self {
        match located {
            Ok(located) => Self::Solved(Box::new(solved(case, &located))),
            Err(refusal) => {
                let face = |label: usize| Value::from(&case.touches[label].face);
                let touch = |i: usize| say::touch_on(i + 1, word(&case.touches[i].face)).into();
                let error = say::cannot_solve(refusal.message(&face, &touch));
                Self::Refused(RefusedCase { ok: false, code: refusal.code(), error })
            }
        }
    }
}

fn solved(case: &Case, located: &Fit) -> SolvedCase {
    let freedoms = located.freedoms;
    let order = freedoms.unknowns();
    let unit = |i: usize| if order[i].ends_with("_deg") { 1.0_f64.to_degrees() } else { 1.0 };
    let covariance = |i: usize, j: usize| tidy(located.covariance.entry(i, j) * unit(i) * unit(j));
    let all = 0..order.len();
    let turn = located.motion.rotation_vector().map(f64::to_degrees);
    let about_z = freedoms.contains(Freedoms::TURN) && !freedoms.tilts();
    let matrix = located.motion.rotation_matrix();
    SolvedCase {
        ok: true,
        shift: triple(&located.motion.translation()),
        rotation_vector_deg: triple(&turn),
        theta_deg: about_z.then(|| tidy(turn.z)),
        shift_along_search: located.along_search_mm.map(tidy),
        rotation_matrix: freedoms
            .tilts()
            .then(|| [0, 1, 2].map(|i| [0, 1, 2].map(|j| tidy(matrix[(i, j)])))),
        covariance: all.clone().map(|i| all.clone().map(|j| covariance(i, j)).collect()).collect(),
        sigma: all.map(|i| tidy(located.covariance.sigma(i) * unit(i))).collect(),
        covariance_order: order,
        residuals_mm: located.residuals.iter().map(|&e| tidy(e)).collect(),
        rms_mm: tidy(located.rms),
        redundancy: located.redundancy,
        chi2: tidy(located.chi2),
        consistent: located.consistent,
        condition_reference: tidy(located.condition_reference),
        condition_solution: tidy(located.condition_solution),
        weld_points: case
            .weld_points
            .as_ref()
            .map(|points| points.iter().map(|point| weld_point(located, point)).collect()),
    }
}

fn weld_point(located: &Fit, weld: &WeldPoint) -> WeldPointAnswer {
    let PointEstimate { moved, displacement, sigma_along_mm, sigma_across_mm } =
        located.at_point(&Point3::from(weld.point), &Vector3::from(weld.seam_direction));
    WeldPointAnswer {
        moved: triple(&moved.coords),
        shift_at_point: triple(&displacement),
        sigma_along_mm: tidy(sigma_along_mm),
        sigma_across_mm: tidy(sigma_across_mm),
    }
}

fn triple(v: &Vector3<f64>) -> [f64; 3] {
    [tidy(v.x), tidy(v.y), tidy(v.z)]
}

/// Rounded to 10⁻¹² if below 1000 in size (a double has no more digits above); no negative zero.
fn tidy(v: f64) -> f64 {
    let rounded = if v.abs() < 1e3 { (v * 1e12).round() / 1e12 } else { v };
    if rounded == 0.0 { 0.0 } else { rounded }
}
