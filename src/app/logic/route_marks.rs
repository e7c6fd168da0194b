//! The way of a routine as the plan shows it before a run.

use super::dimension::arrow_head;
use super::projection::PlanProjection;
use super::svg_path::{beside, polyline};
use kurbo::{BezPath, Point, Triangle, Vec2};
use nudgeproof::cell::Cell;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{LegKind, RouteLeg, Routine, StepId};

/// What a stretch of the way is. Each has its own stroke as well as its own colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum RouteStroke {
    /// One thin line.
    Travel,
    /// The same with sensing on.
    Sensing,
    /// One thick line.
    Feel,
    /// Two lines.
    Follow,
    /// A line with the ticks of a seam across it.
    Weld,
}

/// One stretch of the way.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RouteMark {
    pub(crate) step: StepId,
    pub(crate) stroke: RouteStroke,
    /// The line as drawn: two lines beside the way, where it rides with a place.
    pub(crate) line: BezPath,
    /// The way itself, where ticks stand across it.
    pub(crate) ticks: Option<BezPath>,
    /// The direction: at the end of a feel, in the middle of anything else.
    pub(crate) head: Option<Triangle>,
    /// The feel goes straight down: a ring, as a drawing shows an arrow from behind.
    pub(crate) down: Option<Point>,
    /// The number of the feel in the routine, from 1, and where it stands.
    pub(crate) number: Option<(usize, Point)>,
    /// The search meets nothing within its reach.
    pub(crate) misses: bool,
}

/// Half the distance of the two lines of a follow, pixels.
const HALF_APART: f64 = 2.0;
/// A way shorter than this on the plan has no arrow head, pixels.
const SHORT: f64 = 26.0;
/// Shorter ways are not drawn, pixels.
const LEAST: f64 = 1.0;
/// Length of an arrow head, pixels.
const HEAD: f64 = 7.0;
/// How far past the face the number of a feel stands, pixels.
const BEYOND: f64 = 14.0;
/// Diameter of the disc of a number, with a gap, pixels.
pub(crate) const ROUND: f64 = 17.0;

/// The whole way.
pub(crate) fn route_marks(legs: &[RouteLeg], plan: &PlanProjection) -> Vec<RouteMark> {
    let mut numbers = (1..).zip(feel_numbers(legs, plan));
    let mark = |leg: &RouteLeg| {
        let number = (leg.kind == LegKind::Search).then(|| numbers.next()).flatten();
        route_mark(leg, number, plan)
    };
    legs.iter().filter_map(mark).collect()
}

/// Where the numbers of the feels stand, in their order: past the faces that they meet, and off each other.
pub(crate) fn feel_numbers(legs: &[RouteLeg], plan: &PlanProjection) -> Vec<Point> {
    let mut placed: Vec<Point> = Vec::new();
    for leg in legs {
        let Some((at, along)) = past_face(leg, plan) else { continue };
        let across = along.turn_90();
        let ways = [Vec2::ZERO, along, across, -across, along * 2.0, along + across];
        let free = |at: &Point| placed.iter().all(|other| other.distance(*at) >= ROUND);
        let place = ways.map(|by| at + by * ROUND).into_iter().find(free);
        placed.push(place.unwrap_or(at));
    }
    placed
}

/// The place past the face that a feel meets, and its direction there; `None` for another leg.
fn past_face(leg: &RouteLeg, plan: &PlanProjection) -> Option<(Point, Vec2)> {
    let [from, to] = [leg.path.first()?, leg.path.last()?].map(|p| plan.point(p));
    let along = to - from;
    // One straight down has no direction on the plan.
    let along = if along.hypot() > LEAST { along.normalize() } else { Vec2::new(0.7, -0.7) };
    (leg.kind == LegKind::Search).then(|| (to + along * BEYOND, along))
}

fn route_mark(
    leg: &RouteLeg,
    number: Option<(usize, Point)>,
    plan: &PlanProjection,
) -> Option<RouteMark> {
    let stroke = stroke(leg);
    let points: Vec<_> = leg.path.iter().map(|p| plan.point(p)).collect();
    let length = length(&points);
    let down = (stroke == RouteStroke::Feel && length < LEAST).then(|| points[0]);
    if length < LEAST && down.is_none() {
        return None;
    }
    let follows = leg.follows && stroke != RouteStroke::Feel;
    let middle = (length > SHORT).then(|| arrow_at(&points, length / 2.0 + HEAD / 2.0)).flatten();
    Some(RouteMark {
        step: leg.step,
        stroke,
        line: if follows { double(&points) } else { polyline(points.iter().copied()) },
        ticks: (stroke == RouteStroke::Weld).then(|| polyline(points.iter().copied())),
        head: match stroke {
            RouteStroke::Feel => (down.is_none()).then(|| arrow_at(&points, length)).flatten(),
            _ => middle,
        },
        down,
        number,
        misses: leg.misses,
    })
}

fn stroke(leg: &RouteLeg) -> RouteStroke {
    match leg.kind {
        LegKind::Search => RouteStroke::Feel,
        LegKind::Weld => RouteStroke::Weld,
        LegKind::Travel | LegKind::ToWeld if leg.follows => RouteStroke::Follow,
        LegKind::Travel | LegKind::ToWeld if leg.senses => RouteStroke::Sensing,
        LegKind::Travel | LegKind::ToWeld => RouteStroke::Travel,
    }
}

fn length(points: &[Point]) -> f64 {
    points.windows(2).map(|w| w[0].distance(w[1])).sum()
}

/// An arrow head along a line, its tip this far from the start, pixels.
fn arrow_at(points: &[Point], tip: f64) -> Option<Triangle> {
    let mut left = tip;
    for w in points.windows(2) {
        let d = w[0].distance(w[1]);
        if left <= d + 1e-9 && d > 0.0 {
            return Some(arrow_head(w[0], w[0].lerp(w[1], (left / d).min(1.0)), HEAD));
        }
        left -= d;
    }
    None
}

/// Two lines beside a line.
fn double(points: &[Point]) -> BezPath {
    let line = |by: f64| polyline(beside(points, by));
    let mut both = line(HALF_APART);
    both.extend(line(-HALF_APART));
    both
}

/// The way from where the torch is after a step, or after all, to where it is held, as a joint move
/// takes it; with its direction.
pub(crate) fn way_ahead(
    routine: &Routine,
    legs: &[RouteLeg],
    after: Option<StepId>,
    to: &Point3<f64>,
    cell: &Cell,
    plan: &PlanProjection,
) -> Option<(BezPath, Option<Triangle>)> {
    let until = after.and_then(|id| routine.index_of(id)).unwrap_or(routine.steps.len());
    let before = |leg: &&RouteLeg| routine.index_of(leg.step).is_some_and(|i| i <= until);
    let from = legs.iter().rfind(before)?.path.last()?;
    let points: Vec<_> = cell.joint_path(from, to).iter().map(|p| plan.point(p)).collect();
    let length = length(&points);
    let head = (length > SHORT).then(|| arrow_at(&points, length / 2.0 + HEAD / 2.0)).flatten();
    (length > LEAST).then(|| (polyline(points), head))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::svg_path::d;
    use kurbo::Shape;
    use nudgeproof::geometry::Point2;

    fn leg(kind: LegKind, senses: bool, follows: bool, path: &[[f64; 3]]) -> RouteLeg {
        let path = path.iter().map(|p| Point3::from(*p)).collect();
        RouteLeg { step: StepId(1), kind, path, senses, follows, misses: false }
    }

    fn plan() -> PlanProjection {
        PlanProjection::new(1.0, Point2::origin(), Point::ORIGIN)
    }

    fn one(leg: RouteLeg) -> RouteMark {
        let mut marks = route_marks(&[leg], &plan());
        assert_eq!(marks.len(), 1, "one stretch");
        marks.remove(0)
    }

    const ACROSS: &[[f64; 3]] = &[[0.0, 0.0, 5.0], [40.0, 0.0, 5.0]];

    #[test]
    fn each_kind_of_way_has_its_own_stroke() {
        let stroke = |kind, senses, follows| one(leg(kind, senses, follows, ACROSS)).stroke;
        assert_eq!(stroke(LegKind::Travel, false, false), RouteStroke::Travel, "a move");
        assert_eq!(stroke(LegKind::Travel, true, false), RouteStroke::Sensing, "sensing on");
        assert_eq!(stroke(LegKind::Search, true, false), RouteStroke::Feel, "a search");
        assert_eq!(stroke(LegKind::Travel, false, true), RouteStroke::Follow, "in a follow");
        assert_eq!(stroke(LegKind::ToWeld, false, true), RouteStroke::Follow, "on to the weld");
        assert_eq!(stroke(LegKind::Weld, false, true), RouteStroke::Weld, "the weld");
    }

    #[test]
    fn what_rides_with_a_place_is_a_double_line_four_apart() {
        let mark = one(leg(LegKind::Travel, false, true, ACROSS));
        assert_eq!(d(&mark.line), "M0,2 L40,2 M0,-2 L40,-2", "on both sides of the way");
        let weld = one(leg(LegKind::Weld, false, true, ACROSS));
        let ticks = weld.ticks.expect("the ticks of a seam");
        assert_eq!(d(&ticks), "M0,0 L40,0", "along the way itself");
        assert_eq!(one(leg(LegKind::Travel, false, false, ACROSS)).ticks, None, "a weld alone");
    }

    #[test]
    fn a_double_line_keeps_its_distance_along_a_bow() {
        let vertex = |i: i32| {
            let x = f64::from(i) * 5.0;
            [x, 0.01 * x * (100.0 - x), 5.0]
        };
        let bow: Vec<_> = (0..=20).map(vertex).collect();
        let mark = one(leg(LegKind::Travel, false, true, &bow));
        let box_of = |path: &BezPath| path.bounding_box();
        let single = box_of(&polyline(bow.iter().map(|p| plan().point(&Point3::from(*p)))));
        let grown = single.y0 - box_of(&mark.line).y0;
        assert!((grown - 2.0).abs() < 0.05, "the outer line is 2 px outside the bow, not {grown}");
    }

    #[test]
    fn a_direction_stands_in_the_middle_and_a_feels_at_its_end() {
        let head = one(leg(LegKind::Travel, false, false, ACROSS)).head.expect("long enough");
        assert!((head.a.x - 23.5).abs() < 1e-9, "the head's middle at 20, its tip at {}", head.a.x);
        let short = leg(LegKind::Travel, false, false, &[[0.0; 3], [20.0, 0.0, 0.0]]);
        assert_eq!(one(short).head, None, "no room");
        let feel = one(leg(LegKind::Search, true, false, &[[0.0; 3], [15.4, 0.0, 0.0]]));
        assert_eq!(feel.head.expect("a feel").a, Point::new(15.4, 0.0), "at the face");
        let (number, at) = feel.number.expect("numbered");
        assert_eq!((number, at), (1, Point::new(29.4, 0.0)), "past the face");
    }

    #[test]
    fn feels_are_numbered_in_order_and_one_down_is_a_ring() {
        let travel = leg(LegKind::Travel, true, false, ACROSS);
        let across = leg(LegKind::Search, true, false, ACROSS);
        let down = leg(LegKind::Search, true, false, &[[9.0, 0.0, 30.0], [9.0, 0.0, 12.0]]);
        let marks = route_marks(&[travel, across, down], &plan());
        let numbers: Vec<_> = marks.iter().map(|m| m.number.map(|(n, _)| n)).collect();
        assert_eq!(numbers, [None, Some(1), Some(2)], "feels alone");
        assert_eq!(marks[2].down, Some(Point::new(9.0, 0.0)), "where it goes down");
        assert_eq!(marks[2].head, None, "an arrow from behind has no head");
        let up = leg(LegKind::Travel, false, false, &[[9.0, 0.0, 30.0], [9.0, 0.0, 12.0]]);
        assert!(
            route_marks(&[up], &plan()).is_empty(),
            "a move straight up is not seen from above"
        );
    }
}
