//! The magnified details in the sheet's column: what a millimetre looks like when it matters.

use super::dimension::{Dimension, magnification};
use super::layout::nearest;
use super::projection::PlanProjection;
use super::svg_path::{polygon, polyline};
use kurbo::{BezPath, Circle, Line, Point, Rect};
use nudgeproof::cell::{Joint, Seam, SeamLine};
use nudgeproof::geometry::{Point2, Point3, Pose, Vector3};

/// A window on the sheet that shows a piece of the plan magnified.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DetailView {
    pub(crate) window: Rect,
    /// Times the plan's scale.
    pub(crate) times: f64,
    plan: PlanProjection,
}

/// The window of a detail in its box: below its title, above its note.
pub(crate) fn window(detail: &Rect) -> Rect {
    let height = (detail.height() - 46.0).max(20.0);
    Rect::from_origin_size((detail.x0 + 8.0, detail.y0 + 22.0), (detail.width() - 16.0, height))
}

/// A wire this far outside its window is still drawn, pixels: its ring may reach in.
const OUTSIDE: f64 = 20.0;

impl DetailView {
    /// A view with `middle` in the middle that shows `mm` round it, beside a plan of this scale.
    fn new(window: Rect, middle: Point3<f64>, mm: f64, px_per_mm: f64) -> Self {
        let times = magnification(mm, window.height().min(window.width()) / 2.0, px_per_mm);
        let middle = Point2::new(middle.x, middle.y);
        Self {
            window,
            times,
            plan: PlanProjection::new(px_per_mm * times, middle, window.center()),
        }
    }

    fn point(&self, p: &Point3<f64>) -> Point {
        self.plan.point(p)
    }

    fn shows(&self, p: &Point3<f64>) -> bool {
        let s = self.point(p);
        nearest(&self.window, s).distance(s) < OUTSIDE
    }

    /// A length that reaches past the window from any point in it, mm.
    fn far(&self) -> f64 {
        (self.window.width() + self.window.height()) / self.plan.scale
    }
}

/// A seam of the part where it lies.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlacedSeam {
    line: SeamLine,
    /// Unit vector on the plan across it, towards its positive side, work frame.
    to_plate: Vector3<f64>,
    /// Where material stands beside it, across it, mm: on one side, or on both sides of a gap.
    walls: Vec<f64>,
    pub(crate) tolerance_mm: f64,
}

impl PlacedSeam {
    pub(crate) fn new(seam: &Seam, work_from_part: &Pose) -> Self {
        let line = seam.at(work_from_part);
        let level = Vector3::new(line.across.x, line.across.y, 0.0);
        let to_plate = level.try_normalize(1e-9).unwrap_or(line.across);
        let walls = match &seam.joint {
            Joint::Butt(gap) => vec![gap.gap_mm / 2.0, -gap.gap_mm / 2.0],
            Joint::Fillet | Joint::Lap | Joint::Corner => vec![0.0],
        };
        Self { line, to_plate, walls, tolerance_mm: seam.tolerance_mm }
    }

    /// Its ends, work frame, mm.
    pub(crate) fn ends(&self) -> [Point3<f64>; 2] {
        [self.line.from, self.line.to]
    }

    /// The end of the seam nearer to a point: 0 or 1.
    pub(crate) fn nearer_end(&self, p: &Point3<f64>) -> usize {
        let [from, to] = self.ends();
        usize::from((to - p).norm() < (from - p).norm())
    }

    /// Where a wire lies beside the seam, seen along a torch at its work angle: what it is off across
    /// the wire, drawn across the seam.
    fn seen_along_wire(&self, wire: &Point3<f64>) -> Point3<f64> {
        let miss = self.line.miss(wire);
        self.line.from + self.line.along * miss.along_mm + self.to_plate * miss.across_mm
    }
}

/// The detail of one end of the seam.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SeamDetail {
    pub(crate) view: DetailView,
    pub(crate) seam: Line,
    /// The limits of tolerance on both sides.
    pub(crate) limits: [Line; 2],
    /// What stands beside it: the upright plate of a fillet, the walls of a gap.
    pub(crate) plate: BezPath,
    pub(crate) wire: Option<Circle>,
    /// From the seam to the wire, across.
    pub(crate) miss: Option<Line>,
}

impl SeamDetail {
    /// End `end` of the seam, with the wire of diameter `wire_mm` at `wire` if there is one. What is
    /// drawn beside the seam is seen along the wire, as a miss is measured.
    pub(crate) fn new(
        window: Rect,
        px_per_mm: f64,
        seam: &PlacedSeam,
        end: usize,
        wire: Option<Point3<f64>>,
        wire_mm: f64,
    ) -> Self {
        let middle = seam.ends()[end];
        let wire = wire.map(|w| seam.seen_along_wire(&w));
        let off = wire.map_or(0.0, |w| (w - middle).xy().norm());
        let near = seam.walls.iter().fold(0.0, |far: f64, wall| far.max(wall.abs()));
        let show = (off + wire_mm).max(seam.tolerance_mm * 2.5).max(near + wire_mm);
        let view = DetailView::new(window, middle, show, px_per_mm);
        let far = view.far();
        let along = seam.line.along;
        // The seam ends here: it is drawn inward only.
        let inward = if end == 0 { along } else { -along };
        let parallel = |by: f64| {
            let a = middle + seam.to_plate * by;
            Line::new(view.point(&a), view.point(&(a + inward * far)))
        };
        let wall = |&at: &f64| {
            let away = if at < 0.0 { -far } else { far };
            let side = |by: f64| [-far, far].map(|on| middle + along * on + seam.to_plate * by);
            let ([a, b], [c, d]) = (side(at), side(at + away));
            polygon([a, b, d, c].iter().map(|p| view.point(p)))
        };
        let wire = wire.filter(|w| view.shows(w));
        let miss = |w: Point3<f64>| {
            let across_mm = (w - middle).dot(&seam.to_plate);
            Line::new(view.point(&(w - seam.to_plate * across_mm)), view.point(&w))
        };
        Self {
            seam: parallel(0.0),
            limits: [parallel(seam.tolerance_mm), parallel(-seam.tolerance_mm)],
            plate: seam.walls.iter().flat_map(wall).collect(),
            wire: wire.map(|w| Circle::new(view.point(&w), view.plan.px(wire_mm / 2.0))),
            miss: wire.map(miss),
            view,
        }
    }
}

/// The detail of the datum corner: the axes of the reference part and of the part as it lies.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct OffsetDetail {
    pub(crate) view: DetailView,
    /// Axes of the reference part.
    pub(crate) before: BezPath,
    /// Axes of the part as it lies.
    pub(crate) now: BezPath,
    /// How far the corner has moved along X and along Y, unless by next to nothing.
    pub(crate) moved: [Option<Dimension>; 2],
}

impl OffsetDetail {
    pub(crate) fn new(window: Rect, px_per_mm: f64, reference: &Pose, now: &Pose) -> Self {
        let datum = Point3::origin();
        let (was, is) = (reference.point(&datum), now.point(&datum));
        let off = (is - was).xy().norm();
        let view = DetailView::new(window, was, off.max(4.0), px_per_mm);
        let long = view.far();
        let axes = |pose: &Pose| {
            let end = |axis: Vector3<f64>| Point3::from(axis * long);
            let corners = [end(Vector3::y()), datum, end(Vector3::x())];
            polyline(corners.iter().map(|p| view.point(&pose.point(p))))
        };
        let (a, b) = (view.point(&was), view.point(&is));
        let (below, beside) = (a.y.max(b.y) + 15.0, a.x.min(b.x) - 15.0);
        Self {
            before: axes(reference),
            now: axes(now),
            moved: [Dimension::new(a, b, below, false), Dimension::new(a, b, beside, true)],
            view,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::cell::PlateSide;

    fn seam(plate: PlateSide) -> Seam {
        Seam {
            name: "rail seam".into(),
            from: Point3::new(80.0, 160.0, 12.0),
            to: Point3::new(360.0, 160.0, 12.0),
            body: None,
            place: None,
            plate,
            joint: Joint::Fillet,
            work_angle_deg: Some(60.0),
            tolerance_mm: 0.6,
        }
    }

    #[test]
    fn the_plate_stands_on_the_hand_the_part_says() {
        let left = PlacedSeam::new(&seam(PlateSide::Left), &Pose::identity());
        assert!((left.to_plate - Vector3::y()).norm() < 1e-12, "left of +X is +Y");
        let right = PlacedSeam::new(&seam(PlateSide::Right), &Pose::identity());
        assert!((right.to_plate + Vector3::y()).norm() < 1e-12, "right of +X is −Y");
    }

    #[test]
    fn a_miss_is_shown_across_the_seam_and_inside_the_window() {
        let now = PlacedSeam::new(&seam(PlateSide::Left), &Pose::identity());
        let wire = Point3::new(81.0, 164.0, 12.0);
        let window = Rect::new(0.0, 0.0, 160.0, 90.0);
        let shown = SeamDetail::new(window, 0.75, &now, 0, Some(wire), 1.2);
        let Line { p0: from, p1: to } = shown.miss.expect("the wire is near");
        assert!((from.x - to.x).abs() < 1e-9, "straight across");
        assert!(to.y < from.y, "towards the plate is up here");
        // 4 mm on the table, seen along a wire that leans by 60°.
        assert!(((from.y - to.y) - 2.0 * shown.view.plan.scale).abs() < 1e-9, "2 mm at this scale");
        assert_eq!(nearest(&window, to), to, "inside");
    }

    #[test]
    fn a_wire_elsewhere_is_not_drawn() {
        let now = PlacedSeam::new(&seam(PlateSide::Left), &Pose::identity());
        let wire = Point3::new(500.0, 162.0, 12.0);
        let window = Rect::new(0.0, 0.0, 160.0, 90.0);
        let shown = SeamDetail::new(window, 0.75, &now, 0, Some(wire), 1.2);
        assert_eq!(shown.wire, None, "420 mm away");
    }
}
