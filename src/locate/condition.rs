//! How well a layout of touches determines the motion of the part.
//!
//! The Jacobian with the translation taken at the centroid of the contacts and angles
//! multiplied by the characteristic length L (rms distance of the contacts from
//! their centroid): `J_s = [−m, (m × (c − c̄)) / L]`. The ratio κ of its greatest
//! to its least singular value depends neither on the frame origin nor on the unit
//! of length. 1.5 to 3 is good.

use super::error::{LocateError, MAX_CONDITION};
use super::jacobian::{Motion, gradient, tangent, unknowns};
use super::layout::TouchLayout;
use super::row::TouchRow;
use nalgebra::{DMatrix, Matrix3, Matrix6, Point3, SMatrix, SVector, Vector3, Vector6};

/// κ at a motion, with the contact of each touch given by `contact`.
pub(crate) fn condition<const K: usize>(
    layout: &TouchLayout,
    motion: &Motion,
    contact: impl Fn(&TouchRow) -> Vector3<f64>,
) -> f64 {
    let (centroid, length) = scale(layout, &contact);
    let basis = tangent::<K>(layout, motion);
    let mut jtj = SMatrix::<f64, K, K>::zeros();
    for row in &layout.rows {
        let j = basis.tr_mul(&scaled_gradient(motion, row, contact(row) - centroid, length));
        jtj += j * j.transpose();
    }
    let mut full = Matrix6::zeros();
    full.fixed_view_mut::<K, K>(0, 0).copy_from(&jtj);
    let (least, greatest) = extremes(&full, layout.freedoms.count());
    if least > 0.0 { (greatest / least).sqrt().max(1.0) } else { f64::INFINITY }
}

/// κ at the taught contacts, or which motion the layout does not determine.
pub(crate) fn taught_condition<const K: usize>(layout: &TouchLayout) -> Result<f64, LocateError> {
    let kappa = condition::<K>(layout, &Motion::NONE, |row| row.r);
    if kappa <= MAX_CONDITION { Ok(kappa) } else { Err(undetermined_motion::<K>(layout)) }
}

/// The motion that a singular layout does not determine.
pub(crate) fn undetermined_motion<const K: usize>(layout: &TouchLayout) -> LocateError {
    let basis = unknowns::<K>(layout);
    let slides: Vec<Vector3<f64>> = basis
        .column_iter()
        .map(|column| column.fixed_rows::<3>(0).into_owned())
        .filter(|slide| *slide != Vector3::zeros())
        .collect();
    if !slides.is_empty() {
        let along = DMatrix::from_fn(layout.rows.len(), slides.len(), |i, k| {
            layout.rows[i].n.dot(&slides[k])
        });
        let (least, greatest, null) = null(&along, slides.len());
        if !layout.freedoms.rotates() || least * MAX_CONDITION <= greatest {
            let direction = slides.iter().zip(null).map(|(slide, share)| slide * share).sum();
            return LocateError::FreeTranslation { direction: largest_positive(direction) };
        }
    }
    let (centroid, length) = scale(layout, &|row: &TouchRow| row.r);
    let rows: Vec<_> = layout
        .rows
        .iter()
        .map(|row| basis.tr_mul(&scaled_gradient(&Motion::NONE, row, row.r - centroid, length)))
        .collect();
    let count = layout.freedoms.count();
    let j = DMatrix::from_fn(rows.len(), count, |i, k| rows[i][k]);
    let (_, _, null) = null(&j, count);
    let motion: Vector6<f64> =
        basis * SVector::<f64, K>::from_fn(|k, _| null.get(k).copied().unwrap_or(0.0));
    let v: Vector3<f64> = motion.fixed_rows::<3>(0).into();
    let w: Vector3<f64> = motion.fixed_rows::<3>(3) / length;
    // v + w × (p − centroid) = 0 for the points p of the axis, up to a translation along it.
    let about = centroid + w.cross(&v) / w.norm_squared();
    LocateError::FreeRotation {
        about: Point3::from(about + layout.centre.coords),
        axis: largest_positive(w / w.norm()),
    }
}

/// `v` or `−v`: the one whose component of largest size is positive; no negative zeros.
fn largest_positive(v: Vector3<f64>) -> Vector3<f64> {
    let v = if v[v.iamax()] < 0.0 { -v } else { v };
    v.map(|x| if x == 0.0 { 0.0 } else { x })
}

/// Least and greatest singular value of the first `columns` columns, and the
/// right singular vector of the least.
fn null(j: &DMatrix<f64>, columns: usize) -> (f64, f64, Vec<f64>) {
    let j = j.columns(0, columns);
    let eigen = j.tr_mul(&j).symmetric_eigen();
    let least = eigen.eigenvalues.imin();
    let vector = eigen.eigenvectors.column(least).iter().copied().collect();
    (eigen.eigenvalues[least].max(0.0).sqrt(), eigen.eigenvalues.max().sqrt(), vector)
}

/// Centroid and characteristic length, mm; length 1 if all contacts are in one place.
fn scale(
    layout: &TouchLayout,
    contact: &impl Fn(&TouchRow) -> Vector3<f64>,
) -> (Vector3<f64>, f64) {
    let (centroid, length) = layout.spread(contact);
    (centroid, if length > 0.0 { length } else { 1.0 })
}

fn scaled_gradient(
    motion: &Motion,
    row: &TouchRow,
    arm: Vector3<f64>,
    length: f64,
) -> Vector6<f64> {
    let mut j = gradient(&(motion.r * row.n), &arm);
    j.fixed_rows_mut::<3>(3).scale_mut(1.0 / length);
    j
}

/// Least and greatest eigenvalue of the first `count` rows and columns of a symmetric positive
/// semidefinite matrix; the least is 0 if the matrix is singular to rounding.
fn extremes(full: &Matrix6<f64>, count: usize) -> (f64, f64) {
    match count {
        1 => (full.m11, full.m11),
        3 => {
            let three: Matrix3<f64> = full.fixed_view::<3, 3>(0, 0).into();
            let inverse = three.cholesky().map(|c| c.inverse());
            (inverse.map_or(0.0, |inverse| 1.0 / greatest(&inverse)), greatest(&three))
        }
        _ => {
            // Filling the unused diagonal with the mean of the eigenvalues changes neither extreme.
            let mut filled = *full;
            let mean = full.trace() / count as f64;
            (count..6).for_each(|k| filled[(k, k)] = mean);
            let values = filled.symmetric_eigenvalues();
            values.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), &v| (a.min(v), b.max(v)))
        }
    }
}

/// Greatest eigenvalue of a symmetric 3 × 3 matrix, relative error 10⁻⁸ or better: trigonometric
/// root of the characteristic cubic (Smith, Comm. ACM 4(4), 1961, 168).
fn greatest(m: &Matrix3<f64>) -> f64 {
    let mean = m.trace() / 3.0;
    let rest = m - Matrix3::from_diagonal_element(mean);
    let spread = (rest.norm_squared() / 6.0).sqrt();
    if spread <= f64::EPSILON * mean.abs() {
        return mean;
    }
    let third = libm::acos(((rest / spread).determinant() / 2.0).clamp(-1.0, 1.0)) / 3.0;
    mean + 2.0 * spread * libm::cos(third)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_greatest_eigenvalue_is_the_general_one() {
        let mut number = 1_u32;
        let mut next = || {
            number = number.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(number) / f64::from(u32::MAX) - 0.5
        };
        for i in 0..1000 {
            let half = Matrix3::from_fn(|_, _| next());
            // Also with two or all three eigenvalues equal.
            let m = if i % 3 == 0 { Matrix3::identity() * 4.0 } else { half * half.transpose() };
            let m = if i % 5 == 0 { m + half.column(0) * half.column(0).transpose() } else { m };
            let (found, expected) = (greatest(&m), m.symmetric_eigenvalues().max());
            assert!(
                (found - expected).abs() <= 1e-8 * expected,
                "{found}, expected {expected}: {m}"
            );
        }
    }
}
