use super::engine::Cell;
use super::part::{PlateSide, Seam};
use crate::geometry::{Point3, Vector3};
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
    /// Unit vector across the seam, towards the upright plate.
    pub across: Vector3<f64>,
    /// Unit vector upwards along the upright plate.
    pub up: Vector3<f64>,
}

/// Offset of the wire tip from the seam, in the directions of the seam.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SeamMiss {
    /// Across the seam, mm; positive towards the upright plate.
    pub across_mm: f64,
    /// In height, mm; positive up.
    pub height_mm: f64,
    /// Along the seam, mm; positive in the direction of travel.
    pub along_mm: f64,
}

impl Cell {
    /// A seam of the part frame at its true place in the work frame.
    pub fn seam_in_work(&self, seam: &Seam) -> SeamLine {
        let pose = self.work_from_part();
        let (from, to) = (pose.point(&seam.from), pose.point(&seam.to));
        let along = (to - from).normalize();
        let left = pose.vector(&Vector3::z()).cross(&along).normalize();
        let across = match seam.plate {
            PlateSide::Left => left,
            PlateSide::Right => -left,
        };
        // `left` is level in the part frame: up, for a plate on either side.
        SeamLine { from, to, along, across, up: along.cross(&left) }
    }
}

impl SeamLine {
    /// Miss of a wire tip (work frame, mm) intended for the end `from`; along is positive towards `to`.
    pub fn miss(&self, wire: &Point3<f64>) -> SeamMiss {
        let v = wire - self.from;
        SeamMiss {
            across_mm: v.dot(&self.across),
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
