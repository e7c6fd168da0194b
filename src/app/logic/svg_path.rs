//! Shapes of a drawing, as `kurbo` has them, and their SVG path data.

use super::projection::{ElevationProjection, PlanProjection};
use kurbo::{BezPath, Line, PathEl, Point, Shape, Vec2};
use nudgeproof::cell::Body;
use nudgeproof::geometry::{Outline, Point2, Point3, Pose, polyline};
use std::fmt::Write;

/// Greatest distance of a Bézier curve from the shape it stands for, pixels.
const ACCURACY: f64 = 0.01;

/// A shape as the `d` of a path. Coordinates are rounded to a hundredth of a pixel: `kurbo` writes
/// every digit a number has.
pub(crate) fn d(shape: &impl Shape) -> String {
    shape.path_elements(ACCURACY).map(rounded).collect::<BezPath>().to_svg()
}

fn rounded(element: PathEl) -> PathEl {
    let round = |p: Point| Point::new(hundredth(p.x), hundredth(p.y));
    match element {
        PathEl::MoveTo(p) => PathEl::MoveTo(round(p)),
        PathEl::LineTo(p) => PathEl::LineTo(round(p)),
        PathEl::QuadTo(a, p) => PathEl::QuadTo(round(a), round(p)),
        PathEl::CurveTo(a, b, p) => PathEl::CurveTo(round(a), round(b), round(p)),
        PathEl::ClosePath => PathEl::ClosePath,
    }
}

/// A number rounded to its hundredths.
pub(crate) fn hundredth(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

/// The `transform` that moves a drawing from the origin to a place.
pub(crate) fn translate(to: Point) -> String {
    format!("translate({} {})", hundredth(to.x), hundredth(to.y))
}

/// A line through these points.
pub(crate) fn polyline(points: impl IntoIterator<Item = Point>) -> BezPath {
    let element = |(i, p)| if i == 0 { PathEl::MoveTo(p) } else { PathEl::LineTo(p) };
    points.into_iter().enumerate().map(element).collect()
}

/// The same, back to its first point.
pub(crate) fn polygon(points: impl IntoIterator<Item = Point>) -> BezPath {
    let mut path = polyline(points);
    if !path.is_empty() {
        path.close_path();
    }
    path
}

/// A line beside a line, this far to its right as one goes along it, pixels: point for point.
pub(crate) fn beside(points: &[Point], by: f64) -> Vec<Point> {
    let between = |a: usize, b: usize| Some(*points.get(b)? - *points.get(a)?);
    let moves = |v: &Vec2| v.hypot() > 1e-6;
    let at = |(i, p): (usize, &Point)| {
        let before = (1..=i).rev().find_map(|k| between(k - 1, k).filter(moves));
        let after = (i..points.len()).find_map(|k| between(k, k + 1).filter(moves));
        let [a, b] = match (before, after) {
            (Some(a), Some(b)) => [a.normalize(), b.normalize()],
            (Some(only), None) | (None, Some(only)) => [only.normalize(); 2],
            (None, None) => [Vec2::ZERO; 2],
        };
        // At a corner the line stays as far away: the way out is longer there, within reason.
        let (middle, turn) = (a + b, (1.0 + a.dot(b)).max(0.4));
        *p + Vec2::new(-middle.y, middle.x) * (by / turn)
    };
    points.iter().enumerate().map(at).collect()
}

/// A slanted cross about a point, its arms this far out on both axes.
pub(crate) fn cross(at: Point, arm: f64) -> BezPath {
    let mut path = BezPath::new();
    for across in [Vec2::new(arm, arm), Vec2::new(-arm, arm)] {
        path.move_to(at - across);
        path.line_to(at + across);
    }
    path
}

/// A burst with eight rays about a point.
pub(crate) fn burst(at: Point) -> BezPath {
    polygon((0..16).map(|i| {
        let radius = if i % 2 == 0 { 11.0 } else { 5.0 };
        at + Vec2::from_angle(f64::from(i) * 22.5_f64.to_radians()) * radius
    }))
}

/// A wire that is bent at a point.
pub(crate) fn kink(at: Point) -> BezPath {
    polyline([(0.0, -10.0), (0.0, -1.0), (8.0, 5.0)].map(|by| at + Vec2::from(by)))
}

/// A body seen from above: the outline of its top face and its openings, as one path.
pub(crate) fn body_plan(body: &Body, work_from_part: &Pose, plan: &PlanProjection) -> BezPath {
    std::iter::once(&body.outline)
        .chain(&body.holes)
        .flat_map(|o| outline_plan(o, body.z[1], work_from_part, plan))
        .collect()
}

/// What shows of a leaning body beside its top face, from above: the edges of its underside and
/// those that join the two. `None` for a body that stands upright.
pub(crate) fn body_lean(
    body: &Body,
    work_from_part: &Pose,
    plan: &PlanProjection,
) -> Option<BezPath> {
    if work_from_part.rotation_vector().xy().norm() < 1e-9 {
        return None;
    }
    let mut path = outline_plan(&body.outline, body.z[0], work_from_part, plan);
    for p in body.outline.corners.iter().map(|c| c.at) {
        let [from, to] =
            body.z.map(|z| plan.point(&work_from_part.point(&Point3::new(p.x, p.y, z))));
        path.extend(Line::new(from, to).path_elements(ACCURACY));
    }
    Some(path)
}

fn outline_plan(
    outline: &Outline,
    z: f64,
    work_from_part: &Pose,
    plan: &PlanProjection,
) -> BezPath {
    let corners = outline.flattened();
    let corner = |p: &Point2<f64>| plan.point(&work_from_part.point(&Point3::new(p.x, p.y, z)));
    polygon(corners.iter().map(corner))
}

/// A body in the elevation: the silhouette it fills, seen from the front, leaning if it leans.
pub(crate) fn body_elevation(
    body: &Body,
    work_from_part: &Pose,
    view: &ElevationProjection,
) -> BezPath {
    let flat = body.outline.flattened();
    let at = |z: f64| flat.iter().map(move |p| Point3::new(p.x, p.y, z));
    let points = body.z.into_iter().flat_map(at).map(|p| work_from_part.point(&p));
    let hull = convex_hull(points.map(|p| [p.x, p.z]).collect());
    let outline = with_break(&hull, view.break_height);
    polygon(outline.into_iter().map(|[x, z]| view.point(&Point3::new(x, 0.0, z))))
}

/// The convex hull of these points, counter-clockwise (monotone chain).
fn convex_hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let left_turn = |a: [f64; 2], b: [f64; 2], c: [f64; 2]| {
        (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) > 1e-9
    };
    let chain = |points: &mut dyn Iterator<Item = &[f64; 2]>| {
        let mut out: Vec<[f64; 2]> = Vec::new();
        for p in points {
            while let [.., a, b] = out[..] {
                if left_turn(a, b, *p) {
                    break;
                }
                out.pop();
            }
            out.push(*p);
        }
        out.pop();
        out
    };
    let mut out = chain(&mut points.iter());
    out.extend(chain(&mut points.iter().rev()));
    out
}

/// The same outline with a corner wherever it crosses the break: the scale of heights changes
/// there.
fn with_break(outline: &[[f64; 2]], break_height: f64) -> Vec<[f64; 2]> {
    let mut out = Vec::new();
    for (i, a) in outline.iter().enumerate() {
        let b = outline[(i + 1) % outline.len()];
        out.push(*a);
        if (a[1] - break_height) * (b[1] - break_height) < 0.0 {
            let t = (break_height - a[1]) / (b[1] - a[1]);
            out.push([a[0] + (b[0] - a[0]) * t, break_height]);
        }
    }
    out
}

/// A polyline drawn as far as the torch has come along it. It is drawn anew at each frame and may
/// have a hundred points, so the path data of the points is written only once.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PartialPolyline {
    points: Vec<Point>,
    /// Share of the length at which each point is reached.
    shares: Vec<f64>,
    data: String,
    /// Length of the path data up to each point, bytes.
    ends: Vec<usize>,
}

impl PartialPolyline {
    /// The line through `points`, where the points of `path` (work frame, mm) are drawn.
    pub(crate) fn new(path: &[Point3<f64>], points: Vec<Point>) -> Self {
        let total = polyline::length(path).max(1e-9);
        let shares = (1..=path.len()).map(|n| polyline::length(&path[..n]) / total).collect();
        let (mut data, mut ends) = (String::new(), Vec::new());
        for p in &points {
            add_vertex(&mut data, *p);
            ends.push(data.len());
        }
        Self { points, shares, data, ends }
    }

    /// The `d` of the line up to this share of its length.
    pub(crate) fn until(&self, share: f64) -> String {
        let reached = self.shares.partition_point(|s| *s <= share).max(1);
        let Some(end) = self.ends.get(reached - 1) else { return String::new() };
        let mut data = self.data[..*end].to_owned();
        if let (Some([a, b]), Some([from, to])) =
            (pair(&self.points, reached), pair(&self.shares, reached))
        {
            let t = ((share - from) / (to - from).max(1e-9)).clamp(0.0, 1.0);
            add_vertex(&mut data, a.lerp(b, t));
        }
        data
    }
}

/// The entries before and at an index.
fn pair<T: Copy>(all: &[T], index: usize) -> Option<[T; 2]> {
    Some([*all.get(index.checked_sub(1)?)?, *all.get(index)?])
}

fn add_vertex(data: &mut String, p: Point) {
    let command = if data.is_empty() { "M" } else { " L" };
    // Writing to a string cannot fail.
    let _ = write!(data, "{command}{},{}", hundredth(p.x), hundredth(p.y));
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Rect;

    #[test]
    fn shapes_become_path_data() {
        let points = [Point::new(1.0, 2.0), Point::new(3.0, 4.5)];
        assert_eq!(d(&polyline(points)), "M1,2 L3,4.5", "open");
        assert_eq!(d(&polygon(points)), "M1,2 L3,4.5 Z", "closed");
        assert_eq!(d(&polygon([])), "", "nothing to draw");
        assert_eq!(d(&Rect::new(0.0, 1.0, 2.0, 3.0)), "M0,1 L2,1 L2,3 L0,3 Z", "a rectangle");
        assert_eq!(d(&cross(Point::new(5.0, 5.0), 4.0)), "M1,1 L9,9 M9,1 L1,9", "a cross");
    }

    #[test]
    fn coordinates_are_written_to_the_hundredth() {
        let points = [Point::new(0.004, 359.999), Point::new(-1.5, 20.056)];
        assert_eq!(d(&polyline(points)), "M0,360 L-1.5,20.06", "rounded");
        assert_eq!(translate(Point::new(1.0 / 3.0, -2.0)), "translate(0.33 -2)", "here as well");
    }

    #[test]
    fn a_partial_polyline_ends_where_the_torch_is() {
        let p = |x: f64, y: f64| Point3::new(x, y, 0.0);
        let path = [p(0.0, 0.0), p(10.0, 0.0), p(10.0, 10.0)];
        let points = path.iter().map(|p| Point::new(p.x, p.y)).collect();
        let line = PartialPolyline::new(&path, points);
        assert_eq!(line.until(0.75), "M0,0 L10,0 L10,5", "three quarters");
        assert_eq!(line.until(1.0), "M0,0 L10,0 L10,10", "all of it");
        assert_eq!(line.until(2.0), line.until(1.0), "and no more");
        assert_eq!(line.until(-1.0), "M0,0 L0,0", "none of it");
        assert_eq!(PartialPolyline::new(&[], Vec::new()).until(0.5), "", "nothing to draw");
    }

    #[test]
    fn a_line_beside_a_line_keeps_its_distance() {
        let p = Point::new;
        // A point that stands twice, as where the torch waits, has its neighbours' direction.
        let corner = [p(0.0, 0.0), p(10.0, 0.0), p(10.0, 0.0), p(10.0, 10.0)];
        let right = beside(&corner, 2.0);
        assert_eq!(
            right,
            [p(0.0, 2.0), p(8.0, 2.0), p(8.0, 2.0), p(8.0, 10.0)],
            "inside the corner"
        );
        let left = beside(&corner, -2.0);
        assert_eq!(left[1..3], [p(12.0, -2.0); 2], "and outside it");
        assert_eq!(beside(&[p(1.0, 1.0); 2], 2.0), [p(1.0, 1.0); 2], "no way, no side");
    }

    #[test]
    fn a_hull_keeps_the_corners_and_drops_the_rest() {
        let square = [[0.0, 0.0], [4.0, 0.0], [4.0, 2.0], [0.0, 2.0], [2.0, 1.0], [2.0, 0.0]];
        assert_eq!(
            convex_hull(square.to_vec()),
            vec![[0.0, 0.0], [4.0, 0.0], [4.0, 2.0], [0.0, 2.0]],
            "round the outside"
        );
    }

    #[test]
    fn an_outline_has_a_corner_where_the_scale_changes() {
        let upright = [[0.0, 12.0], [10.0, 92.0], [0.0, 92.0]];
        let bent = with_break(&upright, 52.0);
        assert_eq!(bent[1], [5.0, 52.0], "half way up the slope");
        assert_eq!(bent.len(), 5, "and once on the way down");
    }
}
