//! Shapes as SVG path data.

use super::layout::Rect;
use super::projection::{Projection, ScreenPoint};
use nudgeproof::cell::Body;
use nudgeproof::data::sort_short;
use nudgeproof::geometry::{Outline, Point3, Pose, polyline};
use std::fmt::Write;

/// An open or closed line through these places.
pub(crate) fn line(spots: &[ScreenPoint], closed: bool) -> String {
    let mut d = String::new();
    for (i, s) in spots.iter().enumerate() {
        vertex(&mut d, i == 0, *s);
    }
    if closed && !spots.is_empty() {
        d.push('Z');
    }
    d
}

fn vertex(d: &mut String, first: bool, s: ScreenPoint) {
    d.push(if first { 'M' } else { 'L' });
    pixels(d, s.x);
    d.push(' ');
    pixels(d, s.y);
}

/// Writes a coordinate to the hundredth of a pixel, by whole numbers: a frame has no time for more.
pub(crate) fn pixels(out: &mut String, value: f64) {
    let hundredths = (value * 100.0).round() as i64;
    let (sign, n) = (if hundredths < 0 { "-" } else { "" }, hundredths.unsigned_abs());
    // Writing to a string cannot fail.
    let _ = write!(out, "{sign}{}.{:02}", n / 100, n % 100);
}

/// Moves a drawing to a place: the value of `transform`.
pub(crate) fn moved_to(s: ScreenPoint) -> String {
    let mut out = String::from("translate(");
    pixels(&mut out, s.x);
    out.push(' ');
    pixels(&mut out, s.y);
    out.push(')');
    out
}

/// A line between two places.
pub(crate) fn segment(a: ScreenPoint, b: ScreenPoint) -> String {
    line(&[a, b], false)
}

/// A slanted cross about a place, its arms this far out on both axes.
pub(crate) fn cross(s: ScreenPoint, arm: f64) -> String {
    let (x, y, d) = (s.x - arm, s.y - arm, 2.0 * arm);
    format!("M{x:.2} {y:.2}l{d} {d}m0 -{d}l-{d} {d}")
}

/// A body seen from above: the outline of its top face and its openings, as one path.
pub(crate) fn body_plan(body: &Body, work_from_part: &Pose, view: &Projection) -> String {
    std::iter::once(&body.outline)
        .chain(&body.holes)
        .map(|o| line(&outline_spots(o, body.z[1], work_from_part, view), true))
        .collect()
}

/// What of a leaning body shows beside its top face, from above: the edges of its underside and
/// those that join the two. Nothing for one that stands upright.
pub(crate) fn body_lean(body: &Body, work_from_part: &Pose, view: &Projection) -> String {
    let w = work_from_part.rotation_vector();
    if w.x.hypot(w.y) < 1e-9 {
        return String::new();
    }
    let mut d = line(&outline_spots(&body.outline, body.z[0], work_from_part, view), true);
    for p in body.outline.corners.iter().map(|c| c.at) {
        let [a, b] = body.z.map(|z| view.plan(&work_from_part.point(&Point3::new(p.x, p.y, z))));
        d.push_str(&segment(a, b));
    }
    d
}

fn outline_spots(outline: &Outline, z: f64, pose: &Pose, view: &Projection) -> Vec<ScreenPoint> {
    let corners = outline.flattened();
    corners.iter().map(|p| view.plan(&pose.point(&Point3::new(p.x, p.y, z)))).collect()
}

/// A body in the elevation: the silhouette it fills, seen from the front, leaning if it leans.
pub(crate) fn body_side(body: &Body, work_from_part: &Pose, view: &Projection) -> String {
    let flat = body.outline.flattened();
    let at = |z: f64| flat.iter().map(move |p| Point3::new(p.x, p.y, z));
    let points = body.z.into_iter().flat_map(at).map(|p| work_from_part.point(&p));
    let hull = hull(points.map(|p| [p.x, p.z]).collect());
    let spots = with_knee(&hull, view.break_height).into_iter().map(|[x, z]| view.side_xz(x, z));
    line(&spots.collect::<Vec<_>>(), true)
}

/// The convex hull of these points, counter-clockwise (monotone chain).
fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    sort_short(&mut points, |a, b| a < b);
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

/// The same outline with a corner wherever it crosses the break_height: its scale changes there.
fn with_knee(outline: &[[f64; 2]], break_height: f64) -> Vec<[f64; 2]> {
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

/// A path of the torch, on the plan.
pub(crate) fn way_plan(path: &[Point3<f64>], view: &Projection) -> String {
    line(&path.iter().map(|p| view.plan(p)).collect::<Vec<_>>(), false)
}

/// A path of the torch, in the elevation.
pub(crate) fn way_side(path: &[Point3<f64>], view: &Projection) -> String {
    line(&path.iter().map(|p| view.side(p)).collect::<Vec<_>>(), false)
}

/// The outline of a rectangle.
pub(crate) fn boxed(r: &Rect) -> String {
    let (x, y) = (r.right(), r.bottom());
    line(
        &[
            ScreenPoint::new(r.x, r.y),
            ScreenPoint::new(x, r.y),
            ScreenPoint::new(x, y),
            ScreenPoint::new(r.x, y),
        ],
        true,
    )
}

/// A line that is drawn as far as the torch has come along it: what lies behind is text already.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Growing {
    spots: Vec<ScreenPoint>,
    /// Share of the length at which each place is reached (the torch moves at even speed).
    shares: Vec<f64>,
    text: String,
    /// Where in the text each place ends.
    ends: Vec<usize>,
}

impl Growing {
    /// The line through `spots`, where the points of `path` are drawn.
    pub(crate) fn new(path: &[Point3<f64>], spots: Vec<ScreenPoint>) -> Self {
        let total = polyline::length(path).max(1e-9);
        let shares = (1..=path.len()).map(|n| polyline::length(&path[..n]) / total).collect();
        let (mut text, mut ends) = (String::new(), Vec::new());
        for (i, s) in spots.iter().enumerate() {
            vertex(&mut text, i == 0, *s);
            ends.push(text.len());
        }
        Self { spots, shares, text, ends }
    }

    /// The line up to this share of its length.
    pub(crate) fn until(&self, share: f64) -> String {
        let reached = self.shares.partition_point(|s| *s <= share).max(1);
        let (Some(a), Some(end)) = (self.spots.get(reached - 1), self.ends.get(reached - 1)) else {
            return String::new();
        };
        let mut d = self.text[..*end].to_owned();
        if let (Some(b), [s, e]) = (self.spots.get(reached), self.pair(reached)) {
            vertex(&mut d, false, a.towards(*b, ((share - s) / (e - s).max(1e-9)).clamp(0.0, 1.0)));
        }
        d
    }

    fn pair(&self, reached: usize) -> [f64; 2] {
        [reached - 1, reached].map(|i| self.shares.get(i).copied().unwrap_or(1.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_become_path_data() {
        let spots = [ScreenPoint::new(1.0, 2.0), ScreenPoint::new(3.0, 4.5)];
        assert_eq!(line(&spots, false), "M1.00 2.00L3.00 4.50", "open");
        assert_eq!(line(&spots, true), "M1.00 2.00L3.00 4.50Z", "closed");
        assert_eq!(line(&[], true), "", "nothing to draw");
    }

    #[test]
    fn coordinates_are_written_to_the_hundredth() {
        // The language's own writing of numbers; at a tie (a half of a hundredth) either will do.
        for value in [0.0, 0.004, -0.006, 1.0, -1.5, 359.999, -1234.567, 20.05] {
            let mut out = String::new();
            pixels(&mut out, value);
            assert_eq!(out.parse::<f64>(), format!("{value:.2}").parse(), "{value}");
        }
    }

    #[test]
    fn a_growing_line_ends_where_the_torch_is() {
        let p = |x: f64, y: f64| Point3::new(x, y, 0.0);
        let path = [p(0.0, 0.0), p(10.0, 0.0), p(10.0, 10.0)];
        let spots = path.iter().map(|p| ScreenPoint::new(p.x, p.y)).collect();
        let way = Growing::new(&path, spots);
        assert_eq!(way.until(0.75), "M0.00 0.00L10.00 0.00L10.00 5.00", "three quarters");
        assert_eq!(way.until(1.0), "M0.00 0.00L10.00 0.00L10.00 10.00", "all of it");
        assert_eq!(way.until(2.0), way.until(1.0), "and no more");
        assert_eq!(way.until(-1.0), "M0.00 0.00L0.00 0.00", "none of it");
        assert_eq!(Growing::new(&[], Vec::new()).until(0.5), "", "nothing to draw");
    }

    #[test]
    fn a_hull_keeps_the_corners_and_drops_the_rest() {
        let square = [[0.0, 0.0], [4.0, 0.0], [4.0, 2.0], [0.0, 2.0], [2.0, 1.0], [2.0, 0.0]];
        assert_eq!(
            hull(square.to_vec()),
            vec![[0.0, 0.0], [4.0, 0.0], [4.0, 2.0], [0.0, 2.0]],
            "round the outside"
        );
    }

    #[test]
    fn an_outline_bends_where_the_scale_changes() {
        let upright = [[0.0, 12.0], [10.0, 92.0], [0.0, 92.0]];
        let bent = with_knee(&upright, 52.0);
        assert_eq!(bent[1], [5.0, 52.0], "half way up the slope");
        assert_eq!(bent.len(), 5, "and once on the way down");
    }
}
