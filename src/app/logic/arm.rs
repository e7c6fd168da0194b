//! The arm of the robot on the plan. Its base stands off the sheet; a joint move changes bearing and
//! radius about it at even rates.

use super::layout::SheetLayout;
use super::svg_path::{hundredth, polygon};
use kurbo::{BezPath, Circle, Point, Shape};
use nudgeproof::cell::Part;
use nudgeproof::geometry::Point3;

/// Two links seen from above, one behind the other: they turn together about the base, and fold to
/// change the radius. Drawn about the torch, the base to the right.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ArmShape {
    pub(crate) links: BezPath,
    /// The elbow.
    pub(crate) elbow: Circle,
}

/// Distance of the elbow from the torch, mm.
const ELBOW: f64 = 110.0;
/// Half widths of the links: at the torch, at the elbow, past it; pixels.
const HALF: [f64; 3] = [3.0, 5.0, 7.0];
/// Far enough to leave every plan, pixels.
const FAR: f64 = 6000.0;

impl ArmShape {
    /// The arm at this scale, pixels per mm, with a nozzle of this radius, pixels.
    pub(crate) fn new(scale: f64, nozzle: f64) -> Self {
        let [thin, middle, thick] = HALF;
        let (wrist, elbow) = (nozzle, ELBOW * scale);
        let link = |from: f64, to: f64, [a, b]: [f64; 2]| {
            polygon([(from, -a), (to, -b), (to, b), (from, a)].map(Point::from))
        };
        let joint = Circle::new((elbow, 0.0), thick + 2.0);
        let mut links = link(wrist, elbow - joint.radius, [thin, middle]);
        links.extend(link(elbow + joint.radius, FAR, [thick, thick]));
        Self { links, elbow: joint }
    }

    /// Both links and the elbow as one path.
    pub(crate) fn outline(&self) -> BezPath {
        let mut outline = self.links.clone();
        outline.extend(self.elbow.path_elements(0.05));
        outline
    }
}

/// Where the base is drawn, or would be off the sheet.
fn base(part: &Part, layout: &SheetLayout) -> Point {
    let [x, y] = part.arm_base;
    layout.projection.plan.point(&Point3::new(x, y, 0.0))
}

/// The `transform` of the arm with the torch there.
pub(crate) fn arm_transform(torch: &Point3<f64>, part: &Part, layout: &SheetLayout) -> String {
    let at = layout.projection.plan.point(torch);
    let turn = (base(part, layout) - at).atan2().to_degrees();
    format!(
        "translate({} {}) rotate({})",
        hundredth(at.x),
        hundredth(at.y),
        (turn * 1000.0).round() / 1000.0
    )
}

/// The sign at the edge of the plan for a base that stands beyond it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct BaseMark {
    /// On the edge, in the direction of the base from the middle of the part.
    pub(crate) at: Point,
    /// How far beyond the edge the base stands, mm.
    pub(crate) beyond: f64,
}

impl BaseMark {
    /// `None` if the base stands on the plan.
    pub(crate) fn new(part: &Part, layout: &SheetLayout) -> Option<Self> {
        let (base, plan) = (base(part, layout), &layout.plan);
        if plan.contains(base) {
            return None;
        }
        let from = layout.projection.plan.point(&Point3::from(part.play.about));
        let by = base - from;
        // The share of the way at which it leaves the plan on each axis.
        let share = |by: f64, low: f64, high: f64| match by {
            by if by > 0.0 => high / by,
            by if by < 0.0 => low / by,
            _ => f64::INFINITY,
        };
        let across = share(by.x, plan.x0 - from.x, plan.x1 - from.x);
        let down = share(by.y, plan.y0 - from.y, plan.y1 - from.y);
        let at = from + by * across.min(down).clamp(0.0, 1.0);
        let beyond = (base - at).hypot() / layout.projection.plan.scale;
        Some(Self { at, beyond })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::layout::{SheetExtent, SheetFormat};
    use kurbo::Affine;
    use nudgeproof::cell::{Cell, CellSettings, part_by_name};

    fn part() -> Part {
        part_by_name("bench-side").expect("it comes with the program")
    }

    fn layout() -> SheetLayout {
        SheetLayout::new(1000.0, 700.0, &SheetExtent::of(&part()), SheetFormat::of(1000.0, false))
    }

    /// The numbers in a transform.
    fn numbers(transform: &str) -> Vec<f64> {
        let apart = transform.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'));
        apart.filter_map(|n| n.parse().ok()).collect()
    }

    #[test]
    fn all_along_a_joint_move_the_arm_points_to_its_base() {
        let (part, layout) = (part(), layout());
        let cell = Cell::new(&part, &CellSettings::default(), &[]).expect("it can be used");
        let (from, to) = (Point3::new(-120.0, -120.0, 120.0), Point3::new(350.0, -16.0, 5.0));
        let base = base(&part, &layout);
        let path = cell.joint_path(&from, &to);
        assert!(path.len() > 10, "a bow");
        for p in path {
            let [x, y, turn] = numbers(&arm_transform(&p, &part, &layout))[..] else {
                panic!("a place and a turn");
            };
            let placed = Affine::translate((x, y)) * Affine::rotate(turn.to_radians());
            let radius = base.distance(Point::new(x, y));
            let end = placed * Point::new(radius, 0.0);
            assert!(
                end.distance(base) < 0.1,
                "the arm of {p} ends at {end:?}, the base is {base:?}"
            );
        }
    }

    #[test]
    fn the_links_run_from_the_nozzle_off_the_plan() {
        let shape = ArmShape::new(1.0, 12.0);
        let links = shape.links.bounding_box();
        assert_eq!((links.x0, links.x1), (12.0, FAR), "from nozzle to beyond the sheet");
        assert_eq!(shape.elbow.center, Point::new(ELBOW, 0.0), "the elbow between them");
    }

    #[test]
    fn a_base_off_the_sheet_is_told_at_its_edge() {
        let (part, layout) = (part(), layout());
        let mark = BaseMark::new(&part, &layout).expect("it stands off the sheet");
        assert!((mark.at.y - layout.plan.y0).abs() < 1e-9, "at the upper edge");
        let plan = &layout.projection.plan;
        assert!((mark.at.x - plan.point(&Point3::new(200.0, 0.0, 0.0)).x).abs() < 1e-6, "its X");
        let edge = plan.point_back(mark.at).y;
        assert!((mark.beyond - (1400.0 - edge)).abs() < 1e-6, "{} mm beyond", mark.beyond);
        let near = Part { arm_base: [200.0, 100.0], ..part };
        assert_eq!(BaseMark::new(&near, &layout), None, "on the sheet it needs no sign");
    }
}
