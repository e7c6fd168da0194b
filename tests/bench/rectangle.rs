//! The common piece of work: a rectangle 400 × 250 mm touched twice on the front and
//! twice on the left, slid by up to 8 mm and turned by up to 3° either way about its
//! corner, touches good to 0.15 mm, judged at both ends of a seam.

use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::locate::Touch;

pub(crate) fn touches() -> [Touch; 4] {
    let touch = |face, search, x, y| Touch::taught(face, search, Point3::new(x, y, 0.0));
    [
        touch(0, Vector3::y(), 50.0, 0.0),
        touch(0, Vector3::y(), 350.0, 0.0),
        touch(1, Vector3::x(), 0.0, 35.0),
        touch(1, Vector3::x(), 0.0, 215.0),
    ]
}
