use super::Freedoms;
use crate::geometry::Pose;
use nalgebra::{Matrix3, Matrix6, Point3, Vector3};

/// How many standard deviations a spread is stated by, after a ±: a normally distributed value stays
/// inside 997 times in 1000 (JCGM 100:2008, annex G).
pub const STATED_SIGMAS: f64 = 3.0;

/// Covariance of the fitted motion: `σ² (JᵀJ)⁻¹` at the solution (JCGM 100:2008,
/// 5.1.2), the reference contacts taken as exact.
///
/// Order: (dx, dy, dz, rx, ry, rz), work frame. Translations are of the **moved frame
/// origin**, mm; angles are a small extra rotation vector in the fixed frame applied after
/// R, radians. Rows and columns of motions that the freedoms exclude are zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Covariance {
    /// How the part may have moved.
    pub freedoms: Freedoms,
    /// 6 × 6, mm², mm·rad and rad².
    pub full: Matrix6<f64>,
}

impl Covariance {
    /// Entry in the order of [`Freedoms::unknowns`], in mm and radians. For
    /// *slide one way* the only unknown is the translation along the search.
    ///
    /// # Panics
    ///
    /// If an index is not below [`Freedoms::count`].
    pub fn entry(&self, row: usize, column: usize) -> f64 {
        if self.freedoms == Freedoms::ALONG_SEARCH {
            assert!(row == 0 && column == 0, "slide one way has one unknown");
            return self.full.m11 + self.full.m22 + self.full.m33;
        }
        let axis = |index| self.freedoms.axes().nth(index).expect("an unknown of the freedoms");
        self.full[(axis(row), axis(column))]
    }

    /// Standard deviation of an unknown, mm or radians.
    pub fn sigma(&self, unknown: usize) -> f64 {
        self.entry(unknown, unknown).max(0.0).sqrt()
    }

    /// Covariance (3 × 3, mm², work frame) of the position of a moved point; `arm` is the
    /// moved point minus the moved frame origin, mm: `δp = δt + w × arm`.
    pub fn of_point(&self, arm: &Vector3<f64>) -> Matrix3<f64> {
        let shift: Matrix3<f64> = self.full.fixed_view::<3, 3>(0, 0).into();
        let both: Matrix3<f64> = self.full.fixed_view::<3, 3>(0, 3).into();
        let turn: Matrix3<f64> = self.full.fixed_view::<3, 3>(3, 3).into();
        let lever = -arm.cross_matrix();
        let mixed = both * lever.transpose();
        shift + mixed + mixed.transpose() + lever * turn * lever.transpose()
    }

    /// The same covariance with the translation reported at the moved frame origin plus `arm`
    /// (work frame, mm).
    #[must_use]
    pub fn about(&self, arm: &Vector3<f64>) -> Self {
        let turn: Matrix3<f64> = self.full.fixed_view::<3, 3>(3, 3).into();
        let both: Matrix3<f64> = self.full.fixed_view::<3, 3>(0, 3).into();
        let both = both - arm.cross_matrix() * turn;
        let mut full = self.full;
        full.fixed_view_mut::<3, 3>(0, 0).copy_from(&self.of_point(arm));
        full.fixed_view_mut::<3, 3>(0, 3).copy_from(&both);
        full.fixed_view_mut::<3, 3>(3, 0).copy_from(&both.transpose());
        Self { full, ..*self }
    }

    /// Standard deviation, mm, of where a taught point lands, in a taught direction (unit length) that
    /// moves with the part. Work frame.
    pub(crate) fn sigma_towards(
        &self,
        motion: &Pose,
        point: &Point3<f64>,
        direction: &Vector3<f64>,
    ) -> f64 {
        let (arm, d) = (motion.vector(&point.coords), motion.vector(direction));
        d.dot(&(self.of_point(&arm) * d)).max(0.0).sqrt()
    }

    pub(crate) fn at_point(
        &self,
        motion: &Pose,
        point: &Point3<f64>,
        seam_direction: &Vector3<f64>,
    ) -> PointEstimate {
        let moved = motion.point(point);
        let arm = motion.vector(&point.coords);
        let spread = self.of_point(&arm);
        let seam = self
            .freedoms
            .project(motion.vector(seam_direction))
            .try_normalize(0.0)
            .unwrap_or_default();
        let off_seam = Matrix3::identity() - seam * seam.transpose();
        let across = (off_seam * spread * off_seam).symmetric_eigenvalues().max();
        PointEstimate {
            moved,
            displacement: moved - point,
            sigma_along_mm: seam.dot(&(spread * seam)).max(0.0).sqrt(),
            sigma_across_mm: across.max(0.0).sqrt(),
        }
    }
}

/// Where a taught point is now, and its standard deviations. Work frame, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointEstimate {
    /// The moved point, mm.
    pub moved: Point3<f64>,
    /// Its displacement, mm; differs from point to point if the part has turned.
    pub displacement: Vector3<f64>,
    /// Standard deviation along the moved seam, mm.
    pub sigma_along_mm: f64,
    /// Standard deviation across the moved seam, mm; in space the greatest at right angles to it.
    pub sigma_across_mm: f64,
}
