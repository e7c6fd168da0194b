use super::condition::{condition, loose, taught};
use super::consistency::chi2_limit;
use super::covariance::{Covariance, PointEstimate};
use super::error::LocateError;
use super::jacobian::{Motion, basis};
use super::layout::TouchLayout;
use super::newton::{Settled, settle};
use super::row::PerTouch;
use super::{Freedoms, Touch, branch};
use crate::geometry::Pose;
use nalgebra::{Matrix6, Point3, Rotation3, SMatrix, UnitQuaternion, Vector3};

/// Residuals in the order of the touches; no heap for the usual number of them.
pub type Residuals = PerTouch<f64>;

/// Where the part is, how surely, and how well the touches agree.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// What the part was allowed to have done.
    pub freedoms: Freedoms,
    /// The motion from the reference part to the current part
    /// (`work_from_reference`): the least-squares fit.
    pub motion: Pose,
    /// *Slide one way* only: the shift along the first search, mm.
    pub along_search_mm: Option<f64>,
    /// Scatter of the motion for the given touch repeatability.
    pub covariance: Covariance,
    /// Distance of every current contact from its moved face, mm, positive = deeper.
    pub residuals: Residuals,
    /// Root mean square of the residuals, mm.
    pub rms: f64,
    /// Touches beyond the number of unknowns.
    pub redundancy: usize,
    /// Sum of the squared residuals over σ².
    pub chi2: f64,
    /// Whether `chi2` is within the 99 % point for this redundancy; always true without redundancy.
    pub consistent: bool,
    /// Condition number at the taught contacts.
    pub condition_reference: f64,
    /// Condition number at the solution.
    pub condition_solution: f64,
}

/// What a layout of touches will give, before anything has moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Forecast {
    /// What the part may do.
    pub freedoms: Freedoms,
    /// Scatter of the motion for the given touch repeatability, for a part about where it was taught.
    pub covariance: Covariance,
    /// Touches beyond the number of unknowns.
    pub redundancy: usize,
    /// Condition number at the taught contacts.
    pub condition: f64,
}

/// Locates the part: the rigid motion within `freedoms` that brings the taught
/// faces closest to the current contacts (least sum of squared distances, all
/// touches with equal weight; within a quarter turn, and of fits that the touches
/// cannot tell apart the one that turns least).
///
/// # Reach of *slide and tilt*
///
/// Drawn at random with exact contacts, tilt and turn together within a quarter turn and searches
/// that still meet the moved face at 12° or more (`tests/locate/tilt.rs`), the true motion is the
/// answer for so many of 100:
///
/// | touches | tilt and turn up to 11° | tilt up to 45° and turn up to 75° |
/// |---|---|---|
/// | three on one face, two on another, one on a third, with or without more | 100 | 100 |
/// | spread otherwise, three to spare | 100 | 100 |
/// | spread otherwise, one to spare | 99.9 | 99 |
/// | two on each of three faces | 99 | 84 |
/// | one on each of six faces | 96 | 70 |
///
/// In the rest the touches agree, within the repeatability, with another position that turns less
/// (on six faces, one time in 1000, more), and that is the answer. They disagree with the answer (`consistent` is false) only if there is
/// one to spare and no position was found that they agree with; without one to spare such touches are
/// refused.
///
/// `sigma_mm` is the standard deviation of one touch along the face normal; it
/// scales the covariance and the verdict, and says which fits the touches cannot tell
/// apart. A fit itself does not depend on it.
///
/// # Errors
///
/// A [`LocateError`], checked in this order: unusable numbers, missing contact, too
/// few touches, searches not parallel, then face by face (opposite sides, same
/// place, grazing search), then the layout as a whole, then the side of the fit.
pub fn locate(freedoms: Freedoms, touches: &[Touch], sigma_mm: f64) -> Result<Fit, LocateError> {
    let layout = TouchLayout::new(freedoms, touches, sigma_mm, true)?;
    match freedoms.count() {
        ..=3 => located::<3>(&layout, sigma_mm),
        _ => located::<6>(&layout, sigma_mm),
    }
}

/// The scatter that a layout will give, at the taught contacts. Current
/// contacts are ignored.
///
/// # Errors
///
/// As [`locate`], except for what needs current contacts.
pub fn forecast(
    freedoms: Freedoms,
    touches: &[Touch],
    sigma_mm: f64,
) -> Result<Forecast, LocateError> {
    let layout = TouchLayout::new(freedoms, touches, sigma_mm, false)?;
    match freedoms.count() {
        ..=3 => forecasted::<3>(&layout, sigma_mm),
        _ => forecasted::<6>(&layout, sigma_mm),
    }
}

fn located<const K: usize>(layout: &TouchLayout, sigma: f64) -> Result<Fit, LocateError> {
    let condition_reference = taught::<K>(layout)?;
    let settled = branch::reached::<K>(layout, sigma)?;
    let Motion { r, s } = settled.motion;
    let rotation = UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(r));
    let centre = layout.centre.coords;
    let residuals: Residuals = layout.rows.iter().map(|row| settled.motion.residual(row)).collect();
    let squares: f64 = residuals.iter().map(|e| e * e).sum();
    let redundancy = residuals.len() - layout.freedoms.count();
    let chi2 = squares / (sigma * sigma);
    let one_way = layout.freedoms == Freedoms::SlideOne;
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

fn forecasted<const K: usize>(layout: &TouchLayout, sigma: f64) -> Result<Forecast, LocateError> {
    let condition = taught::<K>(layout)?;
    // At the taught contacts every residual is zero, so this rests where it starts.
    let settled =
        settle(layout, &basis::<K>(layout), Motion::NONE).ok_or_else(|| loose::<K>(layout))?;
    Ok(Forecast {
        freedoms: layout.freedoms,
        covariance: covariance(layout, &settled, sigma),
        redundancy: layout.rows.len() - layout.freedoms.count(),
        condition,
    })
}

/// `σ² (JᵀJ)⁻¹`, carried from the moved centre of the layout to the moved frame origin.
fn covariance<const K: usize>(
    layout: &TouchLayout,
    settled: &Settled<K>,
    sigma: f64,
) -> Covariance {
    let basis: SMatrix<f64, 6, K> = basis(layout);
    let full: Matrix6<f64> = basis * (settled.inverse * (sigma * sigma)) * basis.transpose();
    let arm = -(settled.motion.r * layout.centre.coords);
    Covariance { freedoms: layout.freedoms, full }.about(&arm)
}

impl Fit {
    /// Where a taught point has gone and how surely, along and across a seam
    /// through it (`seam_direction` as taught; its length does not matter).
    pub fn at_point(&self, point: &Point3<f64>, seam_direction: &Vector3<f64>) -> PointEstimate {
        self.covariance.at_point(&self.motion, point, seam_direction)
    }

    /// The shift reported about another origin, mm: `t_o = t + (R − I) o`.
    /// The turn is the same about every origin, the shift is not.
    pub fn translation_about(&self, origin: &Point3<f64>) -> Vector3<f64> {
        self.motion.displacement(origin)
    }
}

impl Forecast {
    /// How surely a taught point will be found, along and across a seam through it.
    pub fn at_point(&self, point: &Point3<f64>, seam_direction: &Vector3<f64>) -> PointEstimate {
        self.covariance.at_point(&Pose::identity(), point, seam_direction)
    }
}
