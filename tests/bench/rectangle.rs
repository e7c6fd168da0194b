//! The common piece of work: a rectangle 400 × 250 mm touched twice on the front and
//! twice on the left, slid by up to 8 mm and turned by up to 3° either way about its
//! corner, touches good to 0.15 mm, judged at both ends of a seam.

use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::locate::Touch;
use nudgeproof::locate::study::{Engine, LayoutStudySettings};

pub(crate) fn touches() -> [Touch; 4] {
    let touch = |face, search, x, y| Touch::taught(face, search, Point3::new(x, y, 0.0));
    [
        touch(0, Vector3::y(), 50.0, 0.0),
        touch(0, Vector3::y(), 350.0, 0.0),
        touch(1, Vector3::x(), 0.0, 35.0),
        touch(1, Vector3::x(), 0.0, 215.0),
    ]
}

pub(crate) fn seam() -> [Point3<f64>; 2] {
    [Point3::new(80.0, 160.0, 0.0), Point3::new(360.0, 160.0, 0.0)]
}

pub(crate) fn settings(engine: Engine, runs: usize, threads: usize) -> LayoutStudySettings {
    LayoutStudySettings {
        runs,
        seed: 1,
        shift_mm: [8.0, 8.0],
        turn: 3.0_f64.to_radians(),
        about: Point3::origin(),
        sigma_mm: 0.15,
        tolerance_mm: 0.6,
        engine,
        threads,
    }
}
