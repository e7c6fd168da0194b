//! What the plan shows of a run beside the path of the torch.

use super::dimension::arrow_head;
use super::layout::nearest;
use super::playback::{Moment, Scene, Sight, scenes};
use super::projection::PlanProjection;
use super::route_marks::{RouteMark, RouteStroke};
use super::svg_path::{cross, polyline};
use super::words::{Words, best_way};
use kurbo::{BezPath, Line, Point, Rect, Size, Triangle, Vec2};
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{
    FollowBlock, Leg, LegKind, Routine, RunLog, Search, SearchOutcome, Structure,
};

/// What rides with a place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct FollowedPath {
    /// Name of the place.
    pub(crate) place: String,
    /// The taught points of its moves, work frame, mm.
    pub(crate) points: Vec<Point3<f64>>,
}

/// The paths that ride with a place, in the order of the routine.
pub(crate) fn followed_paths(routine: &Routine) -> Vec<FollowedPath> {
    let structure = Structure::of(routine);
    let path = |follow: &FollowBlock| {
        let end = follow.end.unwrap_or(routine.steps.len());
        let steps = routine.steps.get(follow.begin..end).unwrap_or_default();
        let points = steps.iter().filter_map(|s| routine.point(s.instruction.point()?));
        FollowedPath { place: follow.place.clone(), points: points.map(|p| p.at).collect() }
    };
    structure.follows.iter().map(path).collect()
}

/// What of the way of a routine is still to come at a moment of a run. Ways that ride with a place are
/// drawn where the offset takes them once that is shown.
pub(crate) fn still_to_come(
    marks: Vec<RouteMark>,
    routine: &Routine,
    log: &RunLog,
    now: Moment,
) -> Vec<RouteMark> {
    if log.finished() && now.t >= log.duration - 1e-9 {
        return Vec::new();
    }
    let (structure, scenes) = (Structure::of(routine), scenes(log));
    let moved = |place: &str| {
        let is_it = |i: usize| log.solutions.get(i).is_some_and(|s| s.place == place);
        let path = |s: &Scene| matches!(s.sight, Sight::Path(i) if is_it(i));
        scenes.iter().any(|s| path(s) && s.from.reached(&now))
    };
    let rides = |mark: &RouteMark| {
        let follow = routine.index_of(mark.step).and_then(|i| structure.follow_at(i));
        follow.is_some_and(|follow| moved(&follow.place))
    };
    let begun = |mark: &RouteMark| {
        let feels = mark.stroke == RouteStroke::Feel;
        let is_it = |leg: &Leg| leg.step == mark.step && (leg.kind == LegKind::Search) == feels;
        log.legs.iter().any(|leg| is_it(leg) && leg.time[0] < now.t - 1e-6)
    };
    marks.into_iter().filter(|mark| !begun(mark) && !rides(mark)).collect()
}

/// The end of a search: a bar across it where it touched, a cross where it found nothing.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TouchMark {
    pub(crate) found: bool,
    pub(crate) at: Point,
    pub(crate) sign: BezPath,
    /// On past it, on the drawing; unit length.
    along: Vec2,
}

impl TouchMark {
    pub(crate) fn new(log: &RunLog, search: &Search, plan: &PlanProjection) -> Self {
        let (at, found) = match &search.outcome {
            SearchOutcome::Touch { contact, .. } => (*contact, true),
            _ => (log.torch_at(search.time).unwrap_or(search.start), false),
        };
        let at = plan.point(&at);
        let flat = plan.vector(&search.direction);
        // A search straight down has no direction on the plan: its bar lies level.
        let level = flat.hypot() < 1e-6;
        let bar = if level { Vec2::new(0.0, 1.0) } else { flat.normalize() }.turn_90() * 7.0;
        Self {
            found,
            at,
            sign: if found { polyline([at - bar, at + bar]) } else { cross(at, 5.0) },
            along: if level { Vec2::new(0.8, -0.6) } else { flat.normalize() },
        }
    }

    /// Where its number stands: on the face it was felt for, past the touch, clear of what is `taken`
    /// if there is room, rather towards the `middle` of the part. `large` while it is told, clear of the
    /// rings; `letter` is the mean width of a letter of the drawing, pixels, and `letters` their number
    /// beside the circle.
    pub(crate) fn number(
        &self,
        (large, letters): (bool, usize),
        letter: f64,
        (view, middle): (&Rect, Point),
        taken: &[Rect],
    ) -> NumberPlace {
        let [past, width] = if large { LARGE } else { SMALL };
        let radius = NUMBER * letter;
        let room = width * letter * letters as f64 + radius + 4.0;
        let height = if large { radius * 1.7 } else { radius };
        // Beside a way up or down the page, so that the way itself stays in sight.
        let aside = if self.along.x.abs() < 0.5 { -radius * 1.6 } else { 0.0 };
        let first = self.at + self.along * (past + radius) + Vec2::new(aside, 0.0);
        let place = |by: Vec2| {
            let at = nearest(&view.inset(-radius - 2.0), first + by * radius * 2.4);
            let left = at.x - room > view.x0 && (self.along.x < -0.5 || at.x + room > view.x1);
            let side = if left { -1.0 } else { 1.0 };
            NumberPlace {
                at,
                radius,
                text: at + Vec2::new(side * (radius + 4.0), 0.0),
                anchor: if left { "end" } else { "start" },
                covers: Rect::from_points(
                    at - Vec2::new(side * radius, height),
                    at + Vec2::new(side * room, height),
                ),
            }
        };
        let across = self.along.turn_90();
        let inwards = if (middle - self.at).dot(across) < 0.0 { -across } else { across };
        let near = [
            inwards,
            self.along,
            self.along + inwards,
            inwards * 2.0,
            self.along + inwards * 2.0,
            -inwards,
            self.along - inwards,
        ];
        // Further off where all of that is taken.
        let far = [2.0, 3.0, 4.0]
            .into_iter()
            .flat_map(|out| [0.0, 1.0, -1.0, 2.0, -2.0].map(|by| self.along * out + inwards * by));
        let ways = [Vec2::ZERO].into_iter().chain(near).chain(far).map(place);
        let best = best_way(ways, |number| number.covers, &mut taken.to_vec(), view);
        best.unwrap_or_else(|| place(Vec2::ZERO))
    }
}

/// How far past the touch a number stands, pixels, and how wide its letters are, in mean letters of the
/// drawing: while it is told, and after.
const LARGE: [f64; 2] = [46.0, 1.5];
const SMALL: [f64; 2] = [9.0, 1.2];
/// Radius of a number's circle, in mean letters of the drawing.
const NUMBER: f64 = 1.4;

/// Where the number of a touch stands, and what it tells beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct NumberPlace {
    /// The middle of its circle.
    pub(crate) at: Point,
    pub(crate) radius: f64,
    /// Where the text beside it begins, or ends, level with the middle.
    pub(crate) text: Point,
    /// `start` or `end`.
    pub(crate) anchor: &'static str,
    /// What circle and text cover.
    pub(crate) covers: Rect,
}

/// Where a line of text of this size stands on a part, by the middle of its base line: below the middle
/// of the part, where grips are, as far as nothing that is `taken` is in the way.
pub(crate) fn free_line(part: &Rect, size: Size, taken: &[Rect]) -> Point {
    let at = |down: f64| part.center() + (0.0, part.height() * down);
    let covers = |at: &Point| Rect::from_center_size(*at - (0.0, size.height / 3.0), size);
    let everywhere = Rect::new(f64::MIN, f64::MIN, f64::MAX, f64::MAX);
    let best = best_way(LINES.map(at), covers, &mut taken.to_vec(), &everywhere);
    best.unwrap_or_else(|| at(LINES[0]))
}

/// Where it is tried, shares of the part's height below its middle.
const LINES: [f64; 7] = [0.2, 0.12, 0.28, 0.36, -0.2, -0.28, -0.36];

/// A home move that rode with the part: an arrow from home to where the torch ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CarriedHomeMark {
    pub(crate) line: Line,
    pub(crate) head: Triangle,
    /// Where the distance stands.
    pub(crate) label: Point,
}

impl CarriedHomeMark {
    pub(crate) fn new(home: &Point3<f64>, end: &Point3<f64>, plan: &PlanProjection) -> Self {
        let line = Line::new(plan.point(home), plan.point(end));
        let head = arrow_head(line.p0, line.p1, 7.0);
        Self { line, head, label: line.p1 + Vec2::new(16.0, -10.0) }
    }
}

/// How much wider the letters beside a crash are than those of a name.
const CRASH_LETTER: f64 = 1.2;

/// Where the words about a crash stand: beside it, in the view, and off what is `taken`. The room that they
/// take is added.
pub(crate) fn crash_words(
    at: Point,
    text: &str,
    letter: f64,
    view: &Rect,
    taken: &mut Vec<Rect>,
) -> Words {
    let letter = letter * CRASH_LETTER;
    let place = |x: f64, y: f64, anchor| Words::new(text, at + Vec2::new(x, y), anchor);
    let downs = [-8.0, 14.0, -26.0, 32.0, -44.0, 50.0];
    let beside = downs.into_iter().flat_map(|y| [place(14.0, y, "start"), place(-14.0, y, "end")]);
    let over = [-26.0, 36.0].map(|y| place(0.0, y, "middle"));
    let best = best_way(beside.chain(over), |words| words.room(letter), taken, view);
    best.unwrap_or_else(|| place(14.0, -8.0, "start"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::route_marks::route_marks;
    use nudgeproof::cell::Cell;
    use nudgeproof::geometry::Point2;
    use nudgeproof::routine::route;
    use nudgeproof::session::Session;

    #[test]
    fn the_number_of_a_touch_stands_past_it_and_in_the_view() {
        let (view, middle) = (Rect::new(0.0, 0.0, 600.0, 400.0), Point::new(300.0, 150.0));
        let touch = |x: f64, y: f64, along: (f64, f64)| TouchMark {
            found: true,
            at: Point::new(x, y),
            sign: BezPath::new(),
            along: Vec2::from(along),
        };
        let number = |touch: &TouchMark, large| touch.number((large, 4), 5.8, (&view, middle), &[]);
        let west = touch(100.0, 200.0, (1.0, 0.0));
        let small = number(&west, false);
        assert!(small.at.x > 100.0 + small.radius && small.at.y == 200.0, "past it: {small:?}");
        assert!(small.text.x > small.at.x && small.anchor == "start", "the text beside it");
        let large = number(&west, true);
        assert!(large.at.x > small.at.x + 30.0, "while it is told it keeps clear of the rings");
        let east = number(&touch(500.0, 200.0, (-1.0, 0.0)), false);
        assert!(east.at.x < 500.0 && east.anchor == "end", "on the other side the other way");
        let south = number(&touch(300.0, 300.0, (0.0, -1.0)), false);
        assert!(south.at.y < 300.0 && south.at.x < 300.0, "beside a way up the page: {south:?}");
        let edge = number(&touch(590.0, 395.0, (0.0, 1.0)), true);
        assert!(edge.at.y + edge.radius < 400.0 && edge.anchor == "end", "in the view: {edge:?}");
        let again = west.number((false, 4), 5.8, (&view, middle), &[small.covers]);
        assert!(!again.covers.overlaps(small.covers), "clear of another one: {again:?}");
        assert!(again.at.y < 200.0, "towards the middle of the part: {again:?}");
    }

    #[test]
    fn what_a_run_has_begun_is_not_to_come_and_what_rides_goes_once_it_is_found() {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let session = Session::from_json(text).expect("a session");
        let state = session.state();
        let (log, routine) = (state.last_run().expect("a run"), &state.routine);
        let cell = Cell::new(&state.part, &state.settings, &[]).expect("it can be used");
        let plan = PlanProjection::new(1.0, Point2::origin(), Point::ORIGIN);
        let at = |t, stood| {
            still_to_come(
                route_marks(&route(routine, &cell), &plan),
                routine,
                log,
                Moment { t, stood },
            )
        };
        let numbers = |marks: &[RouteMark]| -> Vec<usize> {
            marks.iter().filter_map(|mark| mark.number.map(|(n, _)| n)).collect()
        };
        let follows =
            |marks: &[RouteMark]| marks.iter().filter(|m| m.stroke == RouteStroke::Follow).count();
        assert_eq!(numbers(&at(0.0, 0.0)), [1, 2, 3, 4], "all touches");
        let second = at(log.searches[1].time, 0.0);
        assert_eq!(numbers(&second), [3, 4], "those after the second");
        let found = log.solutions[0].time;
        assert!(follows(&at(found, 0.1)) > 0, "the ghost is shown: nothing has moved yet");
        assert_eq!(follows(&at(found, 1.0)), 0, "the path has gone along");
        assert_eq!(at(log.duration, 0.0), [], "the end");
    }

    #[test]
    fn words_on_a_part_keep_off_what_stands_there() {
        let part = Rect::new(0.0, 0.0, 300.0, 200.0);
        let size = Size::new(200.0, 18.0);
        assert_eq!(free_line(&part, size, &[]), Point::new(150.0, 140.0), "below its middle");
        let number = Rect::new(60.0, 130.0, 110.0, 150.0);
        let at = free_line(&part, size, &[number]);
        assert!(at.y < 130.0 || at.y > 165.0, "clear of a number: {at:?}");
    }

    #[test]
    fn the_words_about_a_crash_stay_in_the_view_and_off_others() {
        let view = Rect::new(0.0, 0.0, 300.0, 200.0);
        let words = |at: Point, taken: &[Rect]| {
            crash_words(at, "the wire met a clamp", 5.8, &view, &mut taken.to_vec())
        };
        let right = words(Point::new(20.0, 50.0), &[]);
        assert!(right.at.x > 20.0 && right.anchor == "start", "room on the right");
        let left = words(Point::new(280.0, 50.0), &[]);
        assert!(left.at.x < 280.0 && left.anchor == "end", "no room on the right");
        let name = right.room(5.8);
        let lower = words(Point::new(20.0, 50.0), &[name]);
        assert!(!lower.room(5.8).overlaps(name), "clear of a name: {lower:?}");
    }
}
