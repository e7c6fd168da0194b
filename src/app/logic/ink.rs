//! Shapes as SVG path data.

use super::layout::Rect;
use super::projection::{Projection, Spot};
use nudgeproof::cell::Body;
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

/// A body seen from above: its outline and its openings, as one path.
pub(crate) fn body_plan(body: &Body, work_from_part: &Pose, view: &Projection) -> String {
    std::iter::once(&body.outline)
        .chain(&body.holes)
        .map(|o| outline_plan(o, body.z[1], work_from_part, view))
        .collect()
}

fn outline_plan(outline: &Outline, z: f64, pose: &Pose, view: &Projection) -> String {
    let spots: Vec<Spot> = outline
        .flattened()
        .iter()
        .map(|p| view.plan(&pose.point(&Point3::new(p.x, p.y, z))))
        .collect();
    line(&spots, true)
}

/// A body in the elevation: the rectangle it fills, seen from the front.
pub(crate) fn body_side(body: &Body, work_from_part: &Pose, view: &Projection) -> String {
    let xs = body
        .outline
        .flattened()
        .into_iter()
        .map(|p| work_from_part.point(&Point3::new(p.x, p.y, 0.0)).x);
    let (low, high) = xs.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
    let dz = work_from_part.shift().z;
    let (bottom, top) = (body.z[0] + dz, body.z[1] + dz);
    let corner = |x, z| view.side_xz(x, z);
    line(&[corner(low, bottom), corner(high, bottom), corner(high, top), corner(low, top)], true)
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
}
