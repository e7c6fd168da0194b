//! What a single touch does to the motion that is found, near the taught pose.

use super::Touch;
use super::jacobian::{Motion, gradient, tangent};
use super::layout::TouchLayout;
use super::newton::Settled;
use super::row::TouchRow;
use nalgebra::{Point3, SMatrix, Vector3, Vector6};

/// A small motion in the work frame: translation of the frame origin, mm, then rotation vector about it,
/// radians.
pub type SmallMotion = Vector6<f64>;

/// The linear relation between one touch and the motion that is found, for a part near its taught pose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TouchEffect {
    /// What is found if this touch alone reads 1 mm further along its search: per mm.
    pub gain: SmallMotion,
    /// How much further this touch reads, mm, for each unit of a small motion of the part.
    pub slope: SmallMotion,
}

impl TouchEffect {
    /// With `e` the residuals and `J` their derivatives, a fit goes by `−(JᵀJ)⁻¹ Jᵀ δe`; a reading that is
    /// 1 mm further along its search d is n·d deeper. A face that moves by `t + w × c` at its contact c
    /// is met `n·(t + w × c) / n·d` further along d.
    pub(super) fn of<const K: usize>(
        layout: &TouchLayout,
        settled: &Settled<K>,
        row: &TouchRow,
        touch: &Touch,
    ) -> Self {
        let basis: SMatrix<f64, 6, K> = tangent(layout, &Motion::NONE);
        let deeper = row.n.dot(&row.d);
        let j = basis.tr_mul(&gradient(&row.n, &row.c));
        let about_centre: SmallMotion = basis * (settled.inverse * j) * -deeper;
        let turn: Vector3<f64> = about_centre.fixed_rows::<3>(3).into();
        let mut gain = about_centre;
        let origin = gain.fixed_rows::<3>(0) - turn.cross(&layout.centre.coords);
        gain.fixed_rows_mut::<3>(0).copy_from(&origin);
        Self { gain, slope: -gradient(&row.n, &touch.reference.coords) / deeper }
    }
}

/// How a small motion displaces a point (work frame, mm): `t + w × p`.
pub fn displaced(motion: &SmallMotion, point: &Point3<f64>) -> Vector3<f64> {
    motion.fixed_rows::<3>(0) + motion.fixed_rows::<3>(3).cross(&point.coords)
}
