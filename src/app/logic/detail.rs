//! The magnified details in the sheet's column: what a millimetre looks like when it matters.

use super::dimension::{Dimension, magnification};
use super::layout::Rect;
use super::projection::ScreenPoint;
use super::svg_path;
use nudgeproof::cell::{PlateSide, Seam};
use nudgeproof::geometry::{Point3, Pose, Vector3};

/// A window on the sheet and how much larger than the plan it shows things.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DetailView {
    pub(crate) window: Rect,
    /// Times the plan's scale.
    pub(crate) times: f64,
    /// Pixels a millimetre inside it.
    pub(crate) scale: f64,
    /// What stands in its middle, work frame, mm.
    pub(crate) about: Point3<f64>,
}

impl DetailView {
    /// A glass over `about` that shows `mm` round it, on a plan of this scale.
    pub(crate) fn new(window: Rect, about: Point3<f64>, mm: f64, px_per_mm: f64) -> Self {
        let times = magnification(mm, window.h.min(window.w) / 2.0, px_per_mm);
        Self { window, times, scale: px_per_mm * times, about }
    }

    pub(crate) fn spot(&self, p: &Point3<f64>) -> ScreenPoint {
        let middle = self.window.middle();
        ScreenPoint::new(
            middle.x + (p.x - self.about.x) * self.scale,
            middle.y - (p.y - self.about.y) * self.scale,
        )
    }

    fn shows(&self, p: &Point3<f64>) -> bool {
        let s = self.spot(p);
        self.window.clamp(s).distance(s) < 20.0
    }

    /// A length that reaches past the window from wherever in it, mm.
    fn far(&self) -> f64 {
        (self.window.w + self.window.h) / self.scale
    }
}

/// One end of the seam under the glass.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SeamEnd {
    pub(crate) glass: DetailView,
    /// The seam.
    pub(crate) seam: String,
    /// The limits of tolerance on both sides.
    pub(crate) limits: [String; 2],
    /// The upright plate beside it.
    pub(crate) plate: String,
    /// The wire: where, and how thick, pixels.
    pub(crate) wire: Option<(ScreenPoint, f64)>,
    /// From the seam to the wire, across.
    pub(crate) miss: Option<[ScreenPoint; 2]>,
}

/// What is known of a seam on the part as it lies.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SeamNow {
    /// Its ends, work frame, mm.
    pub(crate) ends: [Point3<f64>; 2],
    /// Unit vector across it towards the upright plate.
    pub(crate) to_plate: Vector3<f64>,
    pub(crate) tolerance_mm: f64,
}

impl SeamNow {
    pub(crate) fn new(seam: &Seam, work_from_part: &Pose) -> Self {
        let ends = [work_from_part.point(&seam.from), work_from_part.point(&seam.to)];
        let along = (ends[1] - ends[0]).normalize();
        let left = Vector3::new(-along.y, along.x, 0.0);
        let to_plate = match seam.plate {
            PlateSide::Left => left,
            PlateSide::Right => -left,
        };
        Self { ends, to_plate, tolerance_mm: seam.tolerance_mm }
    }

    fn along(&self) -> Vector3<f64> {
        (self.ends[1] - self.ends[0]).normalize()
    }

    /// The end of the seam nearer to a point: 0 or 1.
    pub(crate) fn nearer_end(&self, p: &Point3<f64>) -> usize {
        usize::from((self.ends[1] - p).norm() < (self.ends[0] - p).norm())
    }
}

impl SeamEnd {
    /// End `end` of the seam, with the wire of diameter `wire_mm` at `wire` if there is one.
    pub(crate) fn new(
        window: Rect,
        px_per_mm: f64,
        seam: &SeamNow,
        end: usize,
        wire: Option<Point3<f64>>,
        wire_mm: f64,
    ) -> Self {
        let about = seam.ends[end];
        let off = wire.map_or(0.0, |w| (w - about).xy().norm());
        let show = (off + wire_mm).max(seam.tolerance_mm * 2.5);
        let glass = DetailView::new(window, about, show, px_per_mm);
        let far = glass.far();
        let along = seam.along();
        // The seam ends here: inward it goes on, outward it does not.
        let inward = if end == 0 { along } else { -along };
        let parallel = |by: f64| {
            let a = about + seam.to_plate * by;
            svg_path::segment(glass.spot(&a), glass.spot(&(a + inward * far)))
        };
        let across = |p: Point3<f64>| p + seam.to_plate * far;
        let (left, right) = (about - along * far, about + along * far);
        let plate: Vec<ScreenPoint> =
            [left, right, across(right), across(left)].iter().map(|p| glass.spot(p)).collect();
        let wire = wire.filter(|w| glass.shows(w));
        let miss = wire.map(|w| {
            let across_mm = (w - about).dot(&seam.to_plate);
            [glass.spot(&(w - seam.to_plate * across_mm)), glass.spot(&w)]
        });
        Self {
            seam: parallel(0.0),
            limits: [parallel(seam.tolerance_mm), parallel(-seam.tolerance_mm)],
            plate: svg_path::line(&plate, true),
            wire: wire.map(|w| (glass.spot(&w), wire_mm / 2.0 * glass.scale)),
            miss,
            glass,
        }
    }
}

/// The datum corner of the reference part and of the part as it lies.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Datum {
    pub(crate) glass: DetailView,
    /// Axes of the reference part.
    pub(crate) before: String,
    /// Axes of the part as it lies.
    pub(crate) now: String,
    /// Shift along X and along Y.
    pub(crate) shifts: [Dimension; 2],
}

impl Datum {
    pub(crate) fn new(window: Rect, px_per_mm: f64, reference: &Pose, now: &Pose) -> Self {
        let o = Point3::origin();
        let (was, is) = (reference.point(&o), now.point(&o));
        let off = (is - was).xy().norm();
        let glass = DetailView::new(window, was, off.max(4.0), px_per_mm);
        let long = glass.far();
        let axes = |pose: &Pose, o: &Point3<f64>| {
            let (x, y) = (pose.vector(&Vector3::x()), pose.vector(&Vector3::y()));
            let (x, y) = (o + x * long, o + y * long);
            svg_path::line(&[glass.spot(&y), glass.spot(o), glass.spot(&x)], false)
        };
        let (a, b) = (glass.spot(&was), glass.spot(&is));
        let below = a.y.max(b.y) + 15.0;
        let beside = a.x.min(b.x) - 15.0;
        Self {
            before: axes(reference, &was),
            now: axes(now, &is),
            shifts: [Dimension::new(a, b, below, false), Dimension::new(a, b, beside, true)],
            glass,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seam(plate: PlateSide) -> Seam {
        Seam {
            name: "rail seam".into(),
            from: Point3::new(80.0, 160.0, 12.0),
            to: Point3::new(360.0, 160.0, 12.0),
            plate,
            tolerance_mm: 0.6,
        }
    }

    #[test]
    fn the_plate_stands_on_the_hand_the_part_says() {
        let left = SeamNow::new(&seam(PlateSide::Left), &Pose::identity());
        assert!((left.to_plate - Vector3::y()).norm() < 1e-12, "left of +X is +Y");
        let right = SeamNow::new(&seam(PlateSide::Right), &Pose::identity());
        assert!((right.to_plate + Vector3::y()).norm() < 1e-12, "right of +X is −Y");
    }

    #[test]
    fn a_miss_is_shown_across_the_seam_and_inside_the_glass() {
        let now = SeamNow::new(&seam(PlateSide::Left), &Pose::identity());
        let wire = Point3::new(81.0, 162.0, 12.0);
        let window = Rect::new(0.0, 0.0, 160.0, 90.0);
        let shown = SeamEnd::new(window, 0.75, &now, 0, Some(wire), 1.2);
        let [from, to] = shown.miss.expect("the wire is near");
        assert!((from.x - to.x).abs() < 1e-9, "straight across");
        assert!(to.y < from.y, "towards the plate is up here");
        assert!(((from.y - to.y) - 2.0 * shown.glass.scale).abs() < 1e-9, "2 mm at this scale");
        assert_eq!(window.clamp(to), to, "inside");
    }

    #[test]
    fn a_wire_elsewhere_is_not_drawn() {
        let now = SeamNow::new(&seam(PlateSide::Left), &Pose::identity());
        let wire = Point3::new(500.0, 162.0, 12.0);
        let shown = SeamEnd::new(Rect::new(0.0, 0.0, 160.0, 90.0), 0.75, &now, 0, Some(wire), 1.2);
        assert_eq!(shown.wire, None, "420 mm away");
    }
}
