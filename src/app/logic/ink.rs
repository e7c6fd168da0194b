//! Shapes as SVG path data.

use super::layout::Rect;
use super::projection::{Projection, Spot};
use nudgeproof::cell::Body;
use nudgeproof::data::sort_short;
use nudgeproof::geometry::{Outline, Point3, Pose};
use std::fmt::Write;

/// An open or closed line through these places.
pub(crate) fn line(spots: &[Spot], closed: bool) -> String {
    let mut d = String::new();
    for (i, s) in spots.iter().enumerate() {
        let letter = if i == 0 { 'M' } else { 'L' };
        // Writing to a string cannot fail.
        let _ = write!(d, "{letter}{:.2} {:.2}", s.x, s.y);
    }
    if closed && !spots.is_empty() {
        d.push('Z');
    }
    d
}

/// A line between two places.
pub(crate) fn segment(a: Spot, b: Spot) -> String {
    line(&[a, b], false)
}

/// A slanted cross about a place, its arms this far out on both axes.
pub(crate) fn cross(s: Spot, arm: f64) -> String {
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

fn outline_spots(outline: &Outline, z: f64, pose: &Pose, view: &Projection) -> Vec<Spot> {
    let corners = outline.flattened();
    corners.iter().map(|p| view.plan(&pose.point(&Point3::new(p.x, p.y, z)))).collect()
}

/// A body in the elevation: the silhouette it fills, seen from the front, leaning if it leans.
pub(crate) fn body_side(body: &Body, work_from_part: &Pose, view: &Projection) -> String {
    let flat = body.outline.flattened();
    let at = |z: f64| flat.iter().map(move |p| Point3::new(p.x, p.y, z));
    let points = body.z.into_iter().flat_map(at).map(|p| work_from_part.point(&p));
    let hull = hull(points.map(|p| [p.x, p.z]).collect());
    let spots = with_knee(&hull, view.knee).into_iter().map(|[x, z]| view.side_xz(x, z));
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

/// The same outline with a corner wherever it crosses the knee: its scale changes there.
fn with_knee(outline: &[[f64; 2]], knee: f64) -> Vec<[f64; 2]> {
    let mut out = Vec::new();
    for (i, a) in outline.iter().enumerate() {
        let b = outline[(i + 1) % outline.len()];
        out.push(*a);
        if (a[1] - knee) * (b[1] - knee) < 0.0 {
            let t = (knee - a[1]) / (b[1] - a[1]);
            out.push([a[0] + (b[0] - a[0]) * t, knee]);
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
    line(&[Spot::new(r.x, r.y), Spot::new(x, r.y), Spot::new(x, y), Spot::new(r.x, y)], true)
}

/// The part of a path that is done at share `t` of its length (the torch moves at even speed).
pub(crate) fn head(path: &[Point3<f64>], t: f64) -> Vec<Point3<f64>> {
    let total: f64 = path.windows(2).map(|w| (w[1] - w[0]).norm()).sum();
    let mut left = total * t.clamp(0.0, 1.0);
    let mut out: Vec<_> = path.first().copied().into_iter().collect();
    for w in path.windows(2) {
        let step = (w[1] - w[0]).norm();
        if step >= left {
            if step > 0.0 {
                out.push(w[0] + (w[1] - w[0]) * (left / step));
            }
            return out;
        }
        out.push(w[1]);
        left -= step;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_become_path_data() {
        let spots = [Spot::new(1.0, 2.0), Spot::new(3.0, 4.5)];
        assert_eq!(line(&spots, false), "M1.00 2.00L3.00 4.50", "open");
        assert_eq!(line(&spots, true), "M1.00 2.00L3.00 4.50Z", "closed");
        assert_eq!(line(&[], true), "", "nothing to draw");
    }

    #[test]
    fn the_head_of_a_path_ends_part_of_the_way() {
        let p = |x: f64, y: f64| Point3::new(x, y, 0.0);
        let path = [p(0.0, 0.0), p(10.0, 0.0), p(10.0, 10.0)];
        assert_eq!(
            head(&path, 0.75),
            vec![p(0.0, 0.0), p(10.0, 0.0), p(10.0, 5.0)],
            "three quarters"
        );
        assert_eq!(head(&path, 1.0).last(), Some(&p(10.0, 10.0)), "all of it");
        assert_eq!(head(&path, 0.0).last(), Some(&p(0.0, 0.0)), "none of it");
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
