use super::engine::Cell;
use super::part::{PlateSide, Seam};
use crate::geometry::{Point3, Pose, Vector3};
use serde::Serialize;

/// A seam at its true place, work frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeamLine {
    /// One end, mm.
    pub from: Point3<f64>,
    /// The other end, mm.
    pub to: Point3<f64>,
    /// Unit vector from `from` to `to`.
    pub along: Vector3<f64>,
    /// Unit vector across the seam, towards its positive side (the upright plate, in a fillet).
    pub across: Vector3<f64>,
    /// Unit vector upwards, square to seam and plate.
    pub up: Vector3<f64>,
    /// Axis of the torch that welds it, from the wire tip up; unit length.
    pub torch_axis: Vector3<f64>,
    /// Unit vector across seam and torch axis, towards its positive side.
    pub across_wire: Vector3<f64>,
}

/// Greatest error of the tip-to-work distance at which the arc still welds, either way, mm (common
/// practice, no source).
pub const STANDOFF_MM: f64 = 3.0;

/// How far along the seam a weld may begin or end from the end of the seam that it was meant for, either
/// way, mm (common practice, no source).
pub const END_MM: f64 = 5.0;

/// Offset of the wire tip from the seam, in the directions of seam and torch.
///
/// The wire lands where the torch points, so a miss is what is left across the wire: an error of
/// 1.5 mm in height is one of 1.5 · sin 45° = 1.06 mm beside a seam welded at 45°.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SeamMiss {
    /// Across seam and wire, mm; positive towards the positive side of the seam: the upright plate of a
    /// fillet, the upper sheet of a lap joint, the upper plate of a corner, the first wall of a gap.
    pub across_mm: f64,
    /// Along the wire, mm: by how much the tip-to-work distance is off; positive away from the work.
    pub standoff_mm: f64,
    /// Of it all in height, mm; positive up.
    pub height_mm: f64,
    /// Along the seam from the end that it was meant for, mm; positive in the direction of travel. 0 at a
    /// point on the way: it is meant for neither end.
    pub along_mm: f64,
}

impl SeamMiss {
    /// Whether the weld lands there: beside the seam as [`SeamMiss::lands_beside`] says, and no further
    /// than [`END_MM`] from the end of the seam that it was meant for.
    pub fn lands(&self, tolerance_mm: f64) -> bool {
        self.lands_beside(tolerance_mm) && self.along_mm.abs() <= END_MM
    }

    /// Whether it is no further than `tolerance_mm` beside the seam, at a tip-to-work distance with which
    /// the arc still welds.
    pub fn lands_beside(&self, tolerance_mm: f64) -> bool {
        self.across_mm.abs() <= tolerance_mm && self.standoff_mm.abs() <= STANDOFF_MM
    }

    /// How far off it is, mm: across the wire, along it beyond what the arc bears, and along the seam
    /// beyond what its ends may be off.
    pub fn off_mm(&self) -> f64 {
        let beyond = |mm: f64, most: f64| (mm.abs() - most).max(0.0);
        let [far, on] = [(self.standoff_mm, STANDOFF_MM), (self.along_mm, END_MM)]
            .map(|(mm, most)| beyond(mm, most));
        libm::hypot(self.across_mm, libm::hypot(far, on))
    }
}

impl Seam {
    /// The seam with the part at this pose.
    pub fn at(&self, pose: &Pose) -> SeamLine {
        let (from, to) = (pose.point(&self.from), pose.point(&self.to));
        let along = (to - from).normalize();
        let left = pose.vector(&Vector3::z()).cross(&along).normalize();
        let across = match self.plate {
            PlateSide::Left => left,
            PlateSide::Right => -left,
        };
        // `left` is level in the part frame: up, for a plate on either side.
        let up = along.cross(&left);
        let (sin, cos) = libm::sincos(self.work_angle_deg().to_radians());
        let torch_axis = up * cos - across * sin;
        let across_wire = across * cos + up * sin;
        SeamLine { from, to, along, across, up, torch_axis, across_wire }
    }

    /// Axis of the torch that welds it, from the wire tip up; part frame, unit length.
    pub fn torch_axis(&self) -> Vector3<f64> {
        self.at(&Pose::identity()).torch_axis
    }
}

impl Cell {
    /// A seam of the part frame at its true place in the work frame.
    pub fn seam_in_work(&self, seam: &Seam) -> SeamLine {
        let body = seam.body.as_deref().unwrap_or_default();
        seam.at(&self.work_from_body(body))
    }
}

impl SeamLine {
    /// How far beside the seam a torch stands that has come away from it along its axis by a height of
    /// 1: the tangent of its lean. 0 over a gap.
    pub fn lean(&self) -> f64 {
        -self.torch_axis.dot(&self.across) / self.torch_axis.dot(&self.up)
    }

    /// Miss of a wire tip (work frame, mm) intended for the end `from`; along is positive towards `to`.
    pub fn miss(&self, wire: &Point3<f64>) -> SeamMiss {
        let v = wire - self.from;
        SeamMiss {
            across_mm: v.dot(&self.across_wire),
            standoff_mm: v.dot(&self.torch_axis),
            height_mm: v.dot(&self.up),
            along_mm: v.dot(&self.along),
        }
    }

    /// Misses at start and end of a weld from wire tip `wire[0]` to `wire[1]` (work frame, mm),
    /// intended to run from `from` to `to` if `forward`, otherwise from `to` to `from`.
    pub fn weld_miss(&self, wire: [Point3<f64>; 2], forward: bool) -> [SeamMiss; 2] {
        let length = (self.to - self.from).norm();
        let [mut a, mut b] = wire.map(|w| self.miss(&w));
        if forward {
            b.along_mm -= length;
        } else {
            a.along_mm = length - a.along_mm;
            b.along_mm = -b.along_mm;
        }
        [a, b]
    }
}
