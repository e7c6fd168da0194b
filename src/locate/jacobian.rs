//! Residuals and their derivatives.
//!
//! With `m = R n` and the translation `s` of the layout's centre (all positions
//! relative to that centre), touch *i* is off its moved face by
//!
//! ```text
//! e = m·(c − s) − h                        positive = deeper
//! ∂e/∂s = −m ,   ∂e/∂w = m × (c − s)       w = small extra rotation after R
//! ```

use super::Freedoms;
use super::layout::TouchLayout;
use super::row::TouchRow;
use nalgebra::{Matrix3, Rotation3, SMatrix, SVector, Vector3, Vector6};

/// A motion about the layout's centre: `x' = R x + s`, s in mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Motion {
    pub(crate) r: Matrix3<f64>,
    pub(crate) s: Vector3<f64>,
}

impl Motion {
    pub(crate) const NONE: Self = Self {
        r: Matrix3::new(1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0),
        s: Vector3::new(0.0, 0.0, 0.0),
    };

    /// Axis times angle of R, radians.
    fn rotation_vector(&self) -> Vector3<f64> {
        Rotation3::from_matrix_unchecked(self.r).scaled_axis()
    }

    /// Distance of the current contact from the moved face, mm, positive = deeper.
    pub(crate) fn residual(&self, row: &TouchRow) -> f64 {
        (self.r * row.n).dot(&(row.c - self.s)) - row.h
    }

    /// Derivative of the residual by (translation of the centre, rotation about the
    /// moved centre), order (dx, dy, dz, rx, ry, rz).
    pub(crate) fn gradient(&self, row: &TouchRow) -> Vector6<f64> {
        gradient(&(self.r * row.n), &(row.c - self.s))
    }
}

/// `[−m, m × arm]`.
pub(crate) fn gradient(m: &Vector3<f64>, arm: &Vector3<f64>) -> Vector6<f64> {
    let turn = m.cross(arm);
    Vector6::new(-m.x, -m.y, -m.z, turn.x, turn.y, turn.z)
}

/// The unknowns as columns in the space (dx, dy, dz, rx, ry, rz): one for each, zeros in the
/// remaining columns.
/// `K` is 3 or 6: one instance for each number of unknowns would compile the solver five times.
pub(crate) fn unknowns<const K: usize>(layout: &TouchLayout) -> SMatrix<f64, 6, K> {
    let mut basis: SMatrix<f64, 6, K> = SMatrix::zeros();
    if layout.freedoms == Freedoms::ALONG_SEARCH {
        basis.fixed_view_mut::<3, 1>(0, 0).copy_from(&layout.rows[0].d);
        return basis;
    }
    for (column, axis) in layout.freedoms.axes().enumerate() {
        basis[(axis, column)] = 1.0;
    }
    basis
}

/// The directions in which the part may move on from `motion`, one for each unknown: translation of
/// the centre and small extra rotation after R.
///
/// With two rotations the unknown is the rotation vector w of R itself, and a step dw of it is the
/// extra rotation `J dw`, J the left Jacobian of SO(3) (J. Solà et al., "A micro Lie theory",
/// 2018, eq. 145).
pub(crate) fn tangent<const K: usize>(layout: &TouchLayout, motion: &Motion) -> SMatrix<f64, 6, K> {
    let mut basis = unknowns::<K>(layout);
    if layout.freedoms.two_rotations() {
        let w = motion.rotation_vector();
        let (angle, cross) = (w.norm(), w.cross_matrix());
        // Below this angle the series is exact to rounding.
        let (a, b) = if angle < 1e-4 {
            (0.5, 1.0 / 6.0)
        } else {
            let square = angle * angle;
            let (sin, cos) = libm::sincos(angle);
            ((1.0 - cos) / square, (angle - sin) / (square * angle))
        };
        let left = Matrix3::identity() + cross * a + cross * cross * b;
        let turned = left * basis.fixed_rows::<3>(3);
        basis.fixed_rows_mut::<3>(3).copy_from(&turned);
    }
    basis
}

/// The motion one step of the unknowns further, the step as a vector in the space
/// (dx, dy, dz, rx, ry, rz): `R ← exp([w]×) R`, or with two rotations the sum of the rotation
/// vectors; `s ← s + Δs`.
pub(crate) fn stepped(layout: &TouchLayout, motion: &Motion, step: &Vector6<f64>) -> Motion {
    let s = motion.s + step.fixed_rows::<3>(0);
    let w: Vector3<f64> = step.fixed_rows::<3>(3).into();
    let r = if w == Vector3::zeros() {
        motion.r
    } else if layout.freedoms.two_rotations() {
        *Rotation3::new(motion.rotation_vector() + w).matrix()
    } else {
        Rotation3::new(w).matrix() * motion.r
    };
    Motion { r, s }
}

/// `JᵀJ` and `Jᵀe` at a motion, for steps along the columns of `basis`.
pub(crate) fn normal_equations<const K: usize>(
    layout: &TouchLayout,
    basis: &SMatrix<f64, 6, K>,
    motion: &Motion,
) -> (SMatrix<f64, K, K>, SVector<f64, K>) {
    let (mut jtj, mut jte) = (SMatrix::zeros(), SVector::zeros());
    for row in &layout.rows {
        let j = basis.tr_mul(&motion.gradient(row));
        jtj += j * j.transpose();
        jte += j * motion.residual(row);
    }
    (jtj, jte)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::{RngExt, SeedableRng};
    use rand_pcg::Pcg64;

    /// Step of the central difference: its error, step² and rounding over step, is near 1e-9.
    const STEP: f64 = 1e-5;

    #[test]
    fn the_gradient_agrees_with_central_differences() {
        let mut rng = Pcg64::seed_from_u64(7);
        let mut vector = |scale: f64| Vector3::from_fn(|_, _| rng.random_range(-1.0..1.0) * scale);
        for case in 0..1000 {
            let (n, c) = (vector(1.0).normalize(), vector(300.0));
            let row = TouchRow { d: n, r: c, c, n, h: n.dot(&vector(200.0)) };
            let at = Motion { r: *Rotation3::new(vector(0.5)).matrix(), s: vector(20.0) };
            // As in the estimator: an extra rotation in the fixed frame after R, then the translation.
            let off = |unknown: usize, by: f64| {
                let mut step = Vector6::zeros();
                step[unknown] = by;
                let turn = Rotation3::new(step.fixed_rows::<3>(3).into_owned());
                Motion { r: turn.matrix() * at.r, s: at.s + step.fixed_rows::<3>(0) }.residual(&row)
            };
            let gradient = at.gradient(&row);
            for unknown in 0..6 {
                let slope = (off(unknown, STEP) - off(unknown, -STEP)) / (2.0 * STEP);
                let error = (slope - gradient[unknown]).abs();
                assert!(error < 1e-5, "case {case}, unknown {unknown}: off by {error}");
            }
        }
    }
}
