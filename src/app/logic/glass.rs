//! A magnifying glass on the plan: where there is room for it, and how it magnifies.

use super::layout::{SheetLayout, nearest};
use super::projection::PlanProjection;
use super::svg_path::body_plan;
use kurbo::{Line, Point, Rect, Shape, Vec2};
use nudgeproof::cell::Part;
use nudgeproof::geometry::{Point3, Pose};

/// A glass that shows a place of the plan larger.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Glass {
    pub(crate) center: Point,
    pub(crate) radius: f64,
    /// How many times larger than the plan.
    pub(crate) times: f64,
    /// The work frame as it is drawn in the glass.
    pub(crate) plan: PlanProjection,
    /// From the glass to the place.
    pub(crate) leader: Line,
}

/// Radii that are tried, pixels.
const RADII: [f64; 4] = [82.0, 66.0, 54.0, 42.0];
/// A glass this much further away, pixels, has to be larger by one.
const FURTHER: f64 = 4.0;
/// The furthest that its rim is from the place, pixels.
const FURTHEST: f64 = 260.0;
/// Magnifications that are tried.
const TIMES: [f64; 4] = [8.0, 4.0, 2.0, 1.0];
/// The part of the glass, across, that what it is for has to fit into.
const FILLED: f64 = 0.6;
/// Room about the glass, pixels, and that for the text over it.
const ROOM: f64 = 6.0;
const TEXT: f64 = 16.0;
/// The nearest that the glass comes to the place it shows, pixels: the rings of a contact stay clear.
const CLEAR: f64 = 52.0;
/// Distance of the places that are tried, pixels.
const STEP: f64 = 10.0;

impl Glass {
    /// A glass for what lies between two points of the work frame, mm. `taken` is what it must not cover.
    /// `None` if there is no room in `area`.
    pub(crate) fn place(
        between: [&Point3<f64>; 2],
        plan: &PlanProjection,
        area: &Rect,
        taken: &[Rect],
    ) -> Option<Self> {
        let [from, to] = between.map(|p| plan.point(p));
        let target = from.midpoint(to);
        let free = |r: f64| Some((r, free_place(target, r, area, taken)?));
        let worth = |&(r, at): &(f64, Point)| r - at.distance(target) / FURTHER;
        let all = RADII.into_iter().filter_map(free);
        let (radius, center) = all.max_by(|a, b| worth(a).total_cmp(&worth(b)))?;
        let length = from.distance(to);
        let fits = |times: &f64| length * times <= 2.0 * radius * FILLED;
        let times = TIMES.into_iter().find(fits)?;
        let middle = plan.point_back(target);
        let edge = center + (target - center).normalize() * radius;
        Some(Self {
            center,
            radius,
            times,
            plan: PlanProjection::new(plan.scale * times, middle, center),
            leader: Line::new(edge, target),
        })
    }
}

/// The free place nearest to `target` for a circle.
fn free_place(target: Point, radius: f64, area: &Rect, taken: &[Rect]) -> Option<Point> {
    let room = radius + ROOM;
    let [left, right] = [area.x0 + room, area.x1 - room];
    let [top, bottom] = [area.y0 + room + TEXT, area.y1 - room];
    let steps = |from: f64, to: f64| {
        let count = ((to - from) / STEP).floor();
        (0..).map(f64::from).take_while(move |i| *i <= count).map(move |i| from + i * STEP)
    };
    let free = |at: &Point| {
        let text = *at - (0.0, radius + ROOM);
        let text = Rect::from_center_size(text, (radius * 1.6, TEXT));
        (radius + CLEAR..radius + FURTHEST).contains(&at.distance(target))
            && taken.iter().all(|r| nearest(r, *at).distance(*at) >= room)
            && taken.iter().all(|r| r.intersect(text).is_zero_area())
    };
    let places = steps(left, right).flat_map(|x| steps(top, bottom).map(move |y| Point::new(x, y)));
    places.filter(free).min_by(|a, b| a.distance(target).total_cmp(&b.distance(target)))
}

/// Where words and dimension of a touch stand in a glass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct GlassWords {
    /// The dimension is measured up the page.
    pub(crate) upright: bool,
    /// Its level; `None` where the search runs across both axes.
    pub(crate) level: Option<f64>,
    /// What stands beside the reference and beside the present, with their `text-anchor`; only where
    /// there is room.
    pub(crate) beside: Option<[(Point, &'static str); 2]>,
}

impl GlassWords {
    /// For a touch that was at `before` and is at `now`; the search runs along `along` on the drawing.
    pub(crate) fn new(glass: &Glass, before: Point, now: Point, along: Vec2) -> Self {
        let (center, radius) = (glass.center, glass.radius);
        let along = along.normalize();
        let level = |of: f64| (of.abs() > 0.99).then_some(());
        let roomy = radius >= RADII[1];
        if level(along.y).is_some() {
            // The one further down the page has its word below it.
            let below = if now.y > before.y { [0.0, 1.0] } else { [1.0, 0.0] };
            let x = center.x - radius * 0.22;
            let word = |p: Point, below: f64| (Point::new(x, p.y - 5.0 + below * 18.0), "end");
            let beside = [word(before, below[0]), word(now, below[1])];
            let level = Some(center.x + radius * 0.4);
            return Self { upright: true, level, beside: roomy.then_some(beside) };
        }
        let anchors = if now.x < before.x { ["start", "end"] } else { ["end", "start"] };
        let y = center.y - radius * 0.45;
        let word = |p: Point, anchor| {
            let away = if anchor == "start" { 5.0 } else { -5.0 };
            (Point::new(p.x + away, y), anchor)
        };
        let beside = [word(before, anchors[0]), word(now, anchors[1])];
        let level = level(along.x).map(|()| center.y + radius * 0.62);
        Self { upright: false, level, beside: roomy.then_some(beside) }
    }
}

/// What a glass must not cover: the part wherever it is drawn, clamps, wire cutter and all words.
pub(crate) fn covered(
    part: &Part,
    poses: &[Pose],
    words: &[Rect],
    layout: &SheetLayout,
) -> Vec<Rect> {
    let plan = &layout.projection.plan;
    let bodies = poses.iter().flat_map(|pose| part.bodies.iter().map(move |b| (b, *pose)));
    let bodies = bodies.chain(part.clamps.iter().map(|clamp| (clamp, Pose::identity())));
    let bodies = bodies.map(|(body, pose)| body_plan(body, &pose, plan).bounding_box());
    let cutter = Rect::from_center_size(plan.point(&part.cutter()), (60.0, 50.0));
    bodies.chain([cutter]).chain(words.iter().copied()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::geometry::Point2;

    fn place(area: Rect, taken: &[Rect]) -> Option<Glass> {
        let plan = PlanProjection::new(1.0, Point2::origin(), Point::new(300.0, 200.0));
        let [a, b] = [Point3::origin(), Point3::new(4.0, 0.0, 0.0)];
        Glass::place([&a, &b], &plan, &area, taken)
    }

    #[test]
    fn it_stands_on_free_paper_and_shows_the_place_in_its_middle() {
        let area = Rect::new(0.0, 0.0, 900.0, 500.0);
        let part = Rect::new(300.0, 40.0, 700.0, 300.0);
        let glass = place(area, &[part]).expect("room");
        assert_eq!((glass.radius, glass.times), (82.0, 8.0), "as large as can be");
        assert!(nearest(&part, glass.center).distance(glass.center) > glass.radius, "off the part");
        assert!(nearest(&area, glass.center + (0.0, glass.radius)).y < 500.0, "on the plan");
        let middle = glass.plan.point(&Point3::new(2.0, 0.0, 0.0));
        assert!(middle.distance(glass.center) < 1e-9, "what it shows is in its middle");
        assert!(glass.leader.p1.distance(Point::new(302.0, 200.0)) < 1e-9, "the leader ends there");
    }

    #[test]
    fn it_gets_smaller_where_there_is_less_room_and_goes_where_there_is_none() {
        let part = Rect::new(300.0, 0.0, 700.0, 300.0);
        let narrow = place(Rect::new(190.0, 0.0, 700.0, 420.0), &[part]).expect("some room");
        assert!(narrow.radius < 82.0, "smaller: {}", narrow.radius);
        assert_eq!(place(Rect::new(250.0, 0.0, 700.0, 300.0), &[part]), None, "no room");
    }

    #[test]
    fn a_long_way_is_magnified_less() {
        let plan = PlanProjection::new(1.0, Point2::origin(), Point::new(300.0, 200.0));
        let [a, b] = [Point3::origin(), Point3::new(0.0, 20.0, 0.0)];
        let area = Rect::new(0.0, 0.0, 900.0, 500.0);
        let glass = Glass::place([&a, &b], &plan, &area, &[]).expect("room");
        assert_eq!(glass.times, 4.0, "20 px fit four times");
    }
}
