use super::condition::{condition, taught_condition, undetermined_motion};
use super::consistency::chi2_limit;
use super::covariance::{Covariance, PointEstimate};
use super::effect::TouchEffect;
use super::error::LocateError;
use super::jacobian::{Motion, tangent};
use super::layout::TouchLayout;
use super::newton::{Settled, settle};
use super::row::PerTouch;
use super::{Freedoms, Touch, branch};
use crate::geometry::Pose;
use nalgebra::{Matrix6, Point3, Rotation3, SMatrix, UnitQuaternion, Vector3};

/// Residuals in the order of the touches, mm; on the stack for the usual number of touches.
pub type Residuals = PerTouch<f64>;

/// The fitted motion of the part, its covariance, and how well the touches agree.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// How the part was allowed to move.
    pub freedoms: Freedoms,
    /// The least-squares motion from the reference part to the current part, work frame
    /// (`current_from_reference`): translation of the frame origin in mm, rotation about it.
    pub motion: Pose,
    /// *Slide one way* only: the translation along the first search, mm.
    pub along_search_mm: Option<f64>,
    /// Covariance of the motion for the given touch repeatability.
    pub covariance: Covariance,
    /// Distance of every current contact from its moved face, mm, positive = deeper.
    pub residuals: Residuals,
    /// Root mean square of the residuals, mm.
    pub rms: f64,
    /// Number of touches minus number of unknowns.
    pub redundancy: usize,
    /// Sum of the squared residuals over σ².
    pub chi2: f64,
    /// Whether `chi2` is at most the 99 % point for this redundancy; always true without redundancy.
    pub consistent: bool,
    /// Condition number at the taught contacts.
    pub condition_reference: f64,
    /// Condition number at the solution.
    pub condition_solution: f64,
}

/// The accuracy that a layout of touches will give, before anything has moved.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// How the part may move.
    pub freedoms: Freedoms,
    /// Covariance of the motion for the given touch repeatability, for a part near its taught pose.
    pub covariance: Covariance,
    /// Number of touches minus number of unknowns.
    pub redundancy: usize,
    /// Condition number at the taught contacts.
    pub condition: f64,
    /// What each touch does to the motion that is found, in the order of the touches.
    pub effects: PerTouch<TouchEffect>,
}

/// Locates the part: the rigid motion within `freedoms` that brings the taught
/// faces closest to the current contacts. Least sum of squared distances, all
/// touches with equal weight, within a quarter turn; if the touches cannot tell
/// several fits apart, the one that turns least.
///
/// # Reach of *slide and tilt*
///
/// With random motions and exact contacts (tilt and turn together within a quarter turn, searches
/// that still meet the moved face at 12° or more, `tests/locate/tilt.rs`), the answer is the true
/// motion in this share of the cases, %:
///
/// | touches | tilt and turn up to 11° | tilt up to 45° and turn up to 75° |
/// |---|---|---|
/// | three on one face, two on another, one on a third, with or without more | 100 | 100 |
/// | spread otherwise, three to spare | 100 | 100 |
/// | spread otherwise, one to spare | 99.9 | 99 |
/// | two on each of three faces | 99 | 84 |
/// | one on each of six faces | 96 | 70 |
///
/// In the other cases the touches agree, within the repeatability, with another position that turns
/// less (on six faces in 0.1 % of the cases: more), and that is the answer. The touches disagree with
/// the answer (`consistent` is false) only if there are more touches than unknowns and no position
/// was found that they agree with; without redundancy such touches are an error.
///
/// `sigma_mm` is the standard deviation of one touch along the face normal. It
/// scales the covariance and `chi2`, and decides which fits the touches cannot tell
/// apart, and, for freedoms without tilt, which taught faces count as upright or level. Otherwise a
/// fit does not depend on it.
///
/// # Errors
///
/// The first [`LocateError`] in this order: unusable numbers, missing contact, too
/// few touches, searches not parallel, then face by face (opposite sides, same
/// place, grazing search), then the layout as a whole, then the fit.
pub fn locate(freedoms: Freedoms, touches: &[Touch], sigma_mm: f64) -> Result<Fit, LocateError> {
    let layout = TouchLayout::new(freedoms, touches, sigma_mm, true)?;
    match freedoms.count() {
        ..=3 => fitted::<3>(&layout, sigma_mm),
        _ => fitted::<6>(&layout, sigma_mm),
    }
}

/// The covariance that a layout will give, at the taught contacts. Current
/// contacts are ignored.
///
/// # Errors
///
/// As [`locate`], without those about current contacts.
pub fn forecast(
    freedoms: Freedoms,
    touches: &[Touch],
    sigma_mm: f64,
) -> Result<Forecast, LocateError> {
    let layout = TouchLayout::new(freedoms, touches, sigma_mm, false)?;
    match freedoms.count() {
        ..=3 => forecasted::<3>(&layout, touches, sigma_mm),
        _ => forecasted::<6>(&layout, touches, sigma_mm),
    }
}

fn fitted<const K: usize>(layout: &TouchLayout, sigma: f64) -> Result<Fit, LocateError> {
    let condition_reference = taught_condition::<K>(layout)?;
    let settled = branch::select::<K>(layout, sigma)?;
    let Motion { r, s } = settled.motion;
    let rotation = UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(r));
    let centre = layout.centre.coords;
    let residuals: Residuals = layout.rows.iter().map(|row| settled.motion.residual(row)).collect();
    let squares: f64 = residuals.iter().map(|e| e * e).sum();
    let redundancy = residuals.len() - layout.freedoms.count();
    let chi2 = squares / (sigma * sigma);
    let one_way = layout.freedoms == Freedoms::ALONG_SEARCH;
    Ok(Fit {
        freedoms: layout.freedoms,
        motion: Pose::from_parts(rotation, s + centre - r * centre),
        along_search_mm: one_way.then(|| s.dot(&layout.rows[0].d)),
        covariance: covariance(layout, &settled, sigma),
        rms: (squares / residuals.len() as f64).sqrt(),
        residuals,
        redundancy,
        chi2,
        consistent: chi2 <= chi2_limit(redundancy),
        condition_reference,
        condition_solution: condition::<K>(layout, &settled.motion, |row| row.c),
    })
}

fn forecasted<const K: usize>(
    layout: &TouchLayout,
    touches: &[Touch],
    sigma: f64,
) -> Result<Forecast, LocateError> {
    let condition = taught_condition::<K>(layout)?;
    // At the taught contacts every residual is zero: no step is taken.
    let settled =
        settle::<K>(layout, Motion::NONE).ok_or_else(|| undetermined_motion::<K>(layout))?;
    Ok(Forecast {
        freedoms: layout.freedoms,
        covariance: covariance(layout, &settled, sigma),
        redundancy: layout.rows.len() - layout.freedoms.count(),
        condition,
        effects: (layout.rows.iter().zip(touches))
            .map(|(row, touch)| TouchEffect::of::<K>(layout, &settled, row, touch))
            .collect(),
    })
}

/// `σ² (JᵀJ)⁻¹`, carried from the moved centre of the layout to the moved frame origin.
fn covariance<const K: usize>(
    layout: &TouchLayout,
    settled: &Settled<K>,
    sigma: f64,
) -> Covariance {
    let basis: SMatrix<f64, 6, K> = tangent(layout, &settled.motion);
    let full: Matrix6<f64> = basis * (settled.inverse * (sigma * sigma)) * basis.transpose();
    let arm = -(settled.motion.r * layout.centre.coords);
    Covariance { freedoms: layout.freedoms, full }.about(&arm)
}

impl Fit {
    /// Where a taught point (work frame, mm) is now, and its standard deviations along and
    /// across a seam through it (`seam_direction` as taught, any length).
    pub fn at_point(&self, point: &Point3<f64>, seam_direction: &Vector3<f64>) -> PointEstimate {
        self.covariance.at_point(&self.motion, point, seam_direction)
    }

    /// Standard deviation, mm, of where a taught point (work frame, mm) lies now, in a taught direction
    /// of unit length.
    pub fn sigma_towards(&self, point: &Point3<f64>, direction: &Vector3<f64>) -> f64 {
        self.covariance.sigma_towards(&self.motion, point, direction)
    }

    /// The translation reported about another origin, mm: `t_o = t + (R − I) o`.
    /// The rotation is the same about every origin, the translation is not.
    pub fn translation_about(&self, origin: &Point3<f64>) -> Vector3<f64> {
        self.motion.displacement(origin)
    }
}

impl Forecast {
    /// The standard deviations with which a taught point (work frame, mm) will be found, along and
    /// across a seam through it.
    pub fn at_point(&self, point: &Point3<f64>, seam_direction: &Vector3<f64>) -> PointEstimate {
        self.covariance.at_point(&Pose::identity(), point, seam_direction)
    }

    /// Standard deviation, mm, with which a taught point (work frame, mm) will be found in a direction
    /// of unit length.
    pub fn sigma_towards(&self, point: &Point3<f64>, direction: &Vector3<f64>) -> f64 {
        self.covariance.sigma_towards(&Pose::identity(), point, direction)
    }
}
