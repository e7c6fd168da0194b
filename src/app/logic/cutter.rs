//! The wire cutter on the sheet.

use super::layout::SheetLayout;
use super::svg_path::{polygon, polyline};
use kurbo::{BezPath, Point, Vec2};
use nudgeproof::cell::Part;
use nudgeproof::geometry::Point3;

/// The wire cutter: from above two jaws with the wire between them, from the front a post.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CutterMark {
    /// Its two jaws on the plan.
    pub(crate) jaws: [BezPath; 2],
    /// Its post in the elevation.
    pub(crate) post: BezPath,
}

/// Half the height of a jaw, and its length from the wire, pixels.
const JAW: Vec2 = Vec2::new(12.0, 6.0);
/// Room for the wire between the jaws, either way, pixels.
const GAP: f64 = 2.0;
/// Half the width of the post, pixels.
const POST: f64 = 5.0;
/// How far below the torch point the post ends, mm.
const BELOW_TIP: f64 = 8.0;

impl CutterMark {
    pub(crate) fn new(part: &Part, l: &SheetLayout) -> Self {
        let cutter = part.cutter();
        let at = l.projection.plan.point(&cutter);
        let jaw = |side: f64| {
            let corner = |x: f64, y: f64| at + Vec2::new(side * x, y);
            polygon([corner(GAP, 0.0), corner(JAW.x, -JAW.y), corner(JAW.x, JAW.y)])
        };
        let view = &l.projection.elevation;
        let top = view.point(&Point3::new(cutter.x, cutter.y, (cutter.z - BELOW_TIP).max(0.0)));
        let foot = view.height(0.0);
        let post = [
            (top.x - POST, foot),
            (top.x - POST, top.y),
            (top.x, top.y + POST),
            (top.x + POST, top.y),
            (top.x + POST, foot),
        ];
        Self { jaws: [jaw(-1.0), jaw(1.0)], post: polyline(post.map(Point::from)) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::layout::{SheetExtent, SheetFormat};
    use kurbo::Shape;
    use nudgeproof::cell::parts;

    #[test]
    fn the_cutter_of_every_part_is_on_both_views() {
        for part in parts() {
            for width in [720.0, 374.0] {
                let l = SheetLayout::new(
                    width,
                    600.0,
                    &SheetExtent::of(&part),
                    SheetFormat::of(width, false),
                );
                let mark = CutterMark::new(&part, &l);
                for jaw in &mark.jaws {
                    let inside = l.plan.union(jaw.bounding_box()) == l.plan;
                    assert!(inside, "{} at {width}: on the plan", part.name);
                }
                let post = mark.post.bounding_box();
                let inside = l.elevation.union(post) == l.elevation;
                assert!(inside && post.height() > 0.0, "{} at {width}: {post:?}", part.name);
            }
        }
    }
}
