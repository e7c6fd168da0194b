use nalgebra::{Isometry3, Matrix3, Point3, Translation3, UnitQuaternion, Vector3};
use serde::{Deserialize, Serialize};

/// A rigid motion: a point **x** goes to `R x + t`.
///
/// `R` rotates about the **frame origin**, `t` is the translation of the frame origin, mm.
/// Names read destination first: `work_from_part * p_part` is in the work frame.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(into = "PoseFile")]
pub struct Pose(Isometry3<f64>);

/// A pose as in files: translation in mm, rotation vector in degrees (for a part on the table only
/// `turn_deg`, about Z, is not zero).
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PoseFile {
    /// Translation of the frame origin along X, mm.
    pub dx: f64,
    /// Translation of the frame origin along Y, mm.
    pub dy: f64,
    /// Translation of the frame origin along Z, mm.
    #[serde(skip_serializing_if = "is_zero")]
    pub dz: f64,
    /// X component of the rotation vector, degrees.
    #[serde(skip_serializing_if = "is_zero")]
    pub tilt_x_deg: f64,
    /// Y component of the rotation vector, degrees.
    #[serde(skip_serializing_if = "is_zero")]
    pub tilt_y_deg: f64,
    /// Z component of the rotation vector, degrees; positive counter-clockwise.
    pub turn_deg: f64,
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "the signature serde calls")]
fn is_zero(v: &f64) -> bool {
    *v == 0.0
}

impl Pose {
    /// No motion.
    pub fn identity() -> Self {
        Self(Isometry3::identity())
    }

    /// From the translation of the frame origin (mm) and a rotation vector (radians).
    pub fn new(translation: Vector3<f64>, rotation_vector: Vector3<f64>) -> Self {
        Self(Isometry3::new(translation, rotation_vector))
    }

    /// A motion on the table: translation of the frame origin (mm), turn about Z (radians, positive
    /// counter-clockwise).
    pub fn planar(dx: f64, dy: f64, turn: f64) -> Self {
        Self::new(Vector3::new(dx, dy, 0.0), Vector3::new(0.0, 0.0, turn))
    }

    /// From a rotation and the translation of the frame origin, mm.
    pub fn from_parts(rotation: UnitQuaternion<f64>, translation: Vector3<f64>) -> Self {
        Self(Isometry3::from_parts(Translation3::from(translation), rotation))
    }

    /// Translation of the frame origin, mm.
    pub fn translation(&self) -> Vector3<f64> {
        self.0.translation.vector
    }

    /// Displacement of the point `p`, mm: `R p + t − p`.
    pub fn displacement(&self, p: &Point3<f64>) -> Vector3<f64> {
        self.point(p) - p
    }

    /// The rotation.
    pub fn rotation(&self) -> UnitQuaternion<f64> {
        self.0.rotation
    }

    /// The rotation as a 3 × 3 matrix acting on column vectors.
    pub fn rotation_matrix(&self) -> Matrix3<f64> {
        *self.0.rotation.to_rotation_matrix().matrix()
    }

    /// Rotation vector: axis times angle, radians.
    pub fn rotation_vector(&self) -> Vector3<f64> {
        self.0.rotation.scaled_axis()
    }

    /// Angle of the rotation, radians, 0 to π.
    pub fn angle(&self) -> f64 {
        self.0.rotation.angle()
    }

    /// The inverse motion.
    #[must_use]
    pub fn inverse(&self) -> Self {
        Self(self.0.inverse())
    }

    /// The moved point: `R p + t`.
    pub fn point(&self, p: &Point3<f64>) -> Point3<f64> {
        self.0 * p
    }

    /// The rotated vector: `R v`.
    pub fn vector(&self, v: &Vector3<f64>) -> Vector3<f64> {
        self.0 * v
    }
}

impl Default for Pose {
    fn default() -> Self {
        Self::identity()
    }
}

impl std::ops::Mul for Pose {
    type Output = Self;

    /// `a_from_b * b_from_c = a_from_c`: the right one is applied first.
    fn mul(self, rhs: Self) -> Self {
        Self(self.0 * rhs.0)
    }
}

impl From<PoseFile> for Pose {
    fn from(f: PoseFile) -> Self {
        let w = Vector3::new(f.tilt_x_deg, f.tilt_y_deg, f.turn_deg);
        Self::new(Vector3::new(f.dx, f.dy, f.dz), w.map(f64::to_radians))
    }
}

impl From<Pose> for PoseFile {
    fn from(p: Pose) -> Self {
        let (t, w) = (p.translation(), p.rotation_vector().map(f64::to_degrees));
        Self { dx: t.x, dy: t.y, dz: t.z, tilt_x_deg: w.x, tilt_y_deg: w.y, turn_deg: w.z }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shift_of_a_point_depends_on_the_point() {
        // Worked by hand: tan θ = 1/20, shift (4, −3); the point (360, 160) moves by (−4.44, +14.78).
        let pose = Pose::planar(4.0, -3.0, libm::atan(0.05));
        let s = pose.displacement(&Point3::new(360.0, 160.0, 0.0));
        assert!((s.x + 4.439_176_715).abs() < 1e-9, "x {}", s.x);
        assert!((s.y - 14.777_916_320).abs() < 1e-9, "y {}", s.y);
    }

    #[test]
    fn a_pose_and_its_inverse_cancel() {
        let pose = Pose::new(Vector3::new(4.0, -3.0, 2.0), Vector3::new(0.1, -0.2, 0.3));
        let p = Point3::new(10.0, 20.0, 30.0);
        let back = (pose.inverse() * pose).point(&p);
        assert!((back - p).norm() < 1e-12, "{back}");
    }
}
