//! Plan and elevation of a part as it was taught, with every point named or, where there is no room for so
//! many names, numbered, as they stand on the sheet for the cell. Both share X and one scale.

use super::projection::{ElevationProjection, PlanProjection};
use crate::app::i18n::{Key, format};
use kurbo::{Line, Point, Rect, Vec2};
use nudgeproof::cell::{Body, Part, Seam};
use nudgeproof::forecast::PlannedTouch;
use nudgeproof::geometry::{Point2, Point3, Pose};
use nudgeproof::routine::TaughtPoint;

/// Width of the drawing in its own units; it is scaled to the room there is.
pub(crate) const WIDTH: f64 = 640.0;
/// Room round what is drawn, mm.
const ROOM: f64 = 22.0;
/// Between plan and elevation, and under the elevation.
const GAP: f64 = 26.0;
/// Size of the letters of a name, and how wide one is.
pub(crate) const LETTERS: f64 = 17.0;
const LETTER: f64 = 9.4;
/// From a point to its name.
const BESIDE: f64 = 7.0;
/// Length of the pieces of a line that names keep off.
const PIECE: f64 = 8.0;
/// How many lines down a name may stand, the best first.
const LINES: [f64; 13] = [0.0, -1.0, 1.0, -2.0, 2.0, -3.0, 3.0, -4.0, -5.0, -6.0, -7.0, -8.0, -9.0];
/// How far inside the part the number of a touch stands.
const INSIDE: f64 = 17.0;

/// A name, or a number, beside its point.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct NamedPoint {
    pub(crate) name: String,
    pub(crate) at: Point,
    /// Where the base line of the name begins.
    pub(crate) label: Point,
    /// From the point to its name, where the name had to give way.
    pub(crate) leader: Option<Line>,
}

/// Both views.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CellViews {
    pub(crate) height: f64,
    pub(crate) plan: PlanProjection,
    pub(crate) elevation: ElevationProjection,
    pub(crate) on_plan: Vec<NamedPoint>,
    pub(crate) in_elevation: Vec<NamedPoint>,
    /// Whether points have numbers, since their names would cover each other: the list of points tells whose.
    pub(crate) numbered: bool,
}

impl CellViews {
    pub(crate) fn new(
        part: &Part,
        reference: &Pose,
        points: &[TaughtPoint],
        touches: &[PlannedTouch],
    ) -> Self {
        let laid_out = |labels: &[String], room| {
            Self::laid_out((part, reference), points, touches, labels, room)
        };
        let names: Vec<_> = points.iter().map(|p| p.name.clone()).collect();
        let (by_name, crowded) = laid_out(&names, Room::OF_NAMES);
        if !crowded {
            return by_name;
        }
        let numbers: Vec<_> = (1..=points.len()).map(point_number).collect();
        Self { numbered: true, ..laid_out(&numbers, Room::OF_NUMBERS).0 }
    }

    /// Both views with these labels, and whether one of them covers another.
    fn laid_out(
        (part, reference): (&Part, &Pose),
        points: &[TaughtPoint],
        touches: &[PlannedTouch],
        labels: &[String],
        room: Room,
    ) -> (Self, bool) {
        let shown = extent(part, reference, points);
        let scale = WIDTH / shown.width();
        let plan_height = shown.height() * scale;
        let middle = Point2::new(shown.center().x, shown.center().y);
        let plan = PlanProjection::new(scale, middle, Point::new(WIDTH / 2.0, plan_height / 2.0));
        let highest = points.iter().map(|p| p.at.z).fold(top(part), f64::max) + ROOM;
        let table = plan_height + GAP + room.above * LETTERS + highest * scale;
        let elevation = ElevationProjection {
            scale,
            x_zero: plan.point(&Point3::origin()).x,
            table,
            low_scale: scale,
            high_scale: scale,
            // One scale for all heights: no break.
            break_height: f64::MAX / 4.0,
        };
        let numbers = touches.iter().filter_map(|t| number_place(t, &plan)).map(about);
        let lines = part_lines(part, reference, &plan);
        let plan_area = Rect::new(0.0, 0.0, WIDTH, plan_height);
        let others: Vec<_> = numbers.chain(lines).collect();
        let side_area = Rect::new(0.0, plan_height + GAP / 2.0, WIDTH, table + 4.0);
        let solids = part.bodies.iter().map(|body| from_the_front(body, reference, &elevation));
        let solids: Vec<_> = solids.collect();
        let beside = (points, labels, room);
        let on_plan = named(beside, |p| plan.point(p), &others, plan_area);
        let in_elevation = named(beside, |p| elevation.point(p), &solids, side_area);
        let crowded = on_plan.crowded || in_elevation.crowded;
        let (on_plan, in_elevation) = (on_plan.points, in_elevation.points);
        let height = table + GAP;
        (Self { height, plan, elevation, on_plan, in_elevation, numbered: false }, crowded)
    }
}

/// What stands beside the point with this number, from 1, where names have no room.
pub(crate) fn point_number(n: usize) -> String {
    format(Key::PointNumber, &[&n.to_string()])
}

/// Where the number of a touch stands: inside the part, behind its contact.
pub(crate) fn number_place(touch: &PlannedTouch, plan: &PlanProjection) -> Option<Point> {
    let along = plan.vector(&touch.direction) / plan.scale;
    Some(plan.point(&touch.contact?) + along * INSIDE)
}

/// Small pieces of the outlines of bodies and of the seams, which names keep off.
fn part_lines(part: &Part, reference: &Pose, plan: &PlanProjection) -> Vec<Rect> {
    let corner = |p: Point2<f64>| plan.point(&reference.point(&Point3::new(p.x, p.y, 0.0)));
    let edges = part.bodies.iter().flat_map(|body| {
        let corners = body.outline.flattened();
        let next = corners.clone().into_iter().cycle().skip(1);
        corners
            .into_iter()
            .zip(next)
            .map(|(a, b)| Line::new(corner(a), corner(b)))
            .collect::<Vec<_>>()
    });
    let seam = |s: &Seam| {
        let [from, to] = [s.from, s.to].map(|p| plan.point(&reference.point(&p)));
        Line::new(from, to)
    };
    let pieces = |line: Line| {
        let count = (line.length() / PIECE).ceil().max(1.0);
        let at = move |i: u32| line.p0.lerp(line.p1, f64::from(i) / count);
        (0..=count as u32).map(move |i| Rect::from_center_size(at(i), (PIECE, 4.0)))
    };
    edges.chain(part.seams.iter().map(seam)).flat_map(pieces).collect()
}

/// What a body covers in the elevation.
fn from_the_front(body: &Body, reference: &Pose, view: &ElevationProjection) -> Rect {
    let corners = body.outline.corners.iter();
    let corners = corners.flat_map(|c| body.z.map(|z| Point3::new(c.at.x, c.at.y, z)));
    let drawn = corners.map(|p| view.point(&reference.point(&p)));
    let rects = drawn.map(|p| Rect::from_center_size(p, (2.0, 2.0)));
    rects.reduce(|a, b| a.union(b)).unwrap_or_default()
}

fn about(at: Point) -> Rect {
    Rect::from_center_size(at, (LETTERS, LETTERS))
}

/// The piece of the work frame that is drawn, mm.
fn extent(part: &Part, reference: &Pose, points: &[TaughtPoint]) -> Rect {
    let corners = part.bodies.iter().flat_map(|b| &b.outline.corners);
    let corners = corners.map(|c| reference.point(&Point3::new(c.at.x, c.at.y, 0.0)));
    let all = corners.chain(points.iter().map(|p| p.at));
    let round = |p: Point3<f64>| Rect::from_center_size((p.x, p.y), (2.0 * ROOM, 2.0 * ROOM));
    all.map(round).reduce(|a, b| a.union(b)).unwrap_or_else(|| round(Point3::origin()))
}

fn top(part: &Part) -> f64 {
    part.bodies.iter().chain(&part.clamps).map(|b| b.z[1]).fold(0.0, f64::max)
}

/// How far labels may go from their points.
#[derive(Debug, Clone, Copy)]
struct Room {
    /// Lines above the highest point of the elevation.
    above: f64,
    /// Their own widths to the side.
    aside: u8,
}

impl Room {
    const OF_NAMES: Self = Self { above: 0.0, aside: 0 };
    const OF_NUMBERS: Self = Self { above: 4.0, aside: 6 };
}

/// The points of one view, and whether some name in it covers something.
struct View {
    points: Vec<NamedPoint>,
    crowded: bool,
}

/// Every point with its name: on its right or left, or some lines up or down where something else
/// stands there. Names keep off each other and off the points, and, while there is room elsewhere,
/// off what else is drawn.
fn named(
    (points, labels, room): (&[TaughtPoint], &[String], Room),
    drawn: impl Fn(&Point3<f64>) -> Point,
    others: &[Rect],
    area: Rect,
) -> View {
    let mut crowded = false;
    let cross = |p: &TaughtPoint| Rect::from_center_size(drawn(&p.at), (9.0, 9.0));
    let mut taken: Vec<Rect> = points.iter().map(cross).collect();
    let name = |(p, label): (&TaughtPoint, &String)| {
        let at = drawn(&p.at);
        let width = label.chars().count() as f64 * LETTER;
        let place = |(lines, right, aside): (f64, bool, u8)| {
            let by = BESIDE + f64::from(aside) * width;
            let x = if right { at.x + by } else { at.x - by - width };
            let y = at.y - LETTERS / 2.0 + lines * LETTERS;
            Rect::from_origin_size((x, y), (width, LETTERS))
        };
        let places = || {
            let lines =
                |aside| LINES.into_iter().flat_map(move |n| [(n, true, aside), (n, false, aside)]);
            (0..=room.aside).flat_map(lines)
        };
        let off = |r: &Rect, rects: &[Rect]| !rects.iter().any(|t| t.overlaps(*r));
        let free = |p: &(f64, bool, u8)| {
            let r = place(*p);
            area.union(r) == area && off(&r, &taken)
        };
        let found = places().find(|p| free(p) && off(&place(*p), others));
        let found = found.or_else(|| places().find(free));
        crowded |= found.is_none();
        let (lines, right, aside) = found.unwrap_or((0.0, true, 0));
        let place = place((lines, right, aside));
        taken.push(place);
        let near = Point::new(if right { place.x0 } else { place.x1 }, place.center().y);
        NamedPoint {
            name: label.clone(),
            at,
            label: Point::new(place.x0, place.y1 - LETTERS * 0.25),
            leader: (lines.abs() > 1.0 || aside > 0)
                .then(|| Line::new(at, near + Vec2::new(0.0, 2.0))),
        }
    };
    let points = points.iter().zip(labels).map(name).collect();
    View { points, crowded }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::cell::parts;
    use nudgeproof::lesson::model_routine;

    #[test]
    fn every_point_of_every_part_is_named_and_no_name_covers_another() {
        for part in parts() {
            let routine = model_routine(&part);
            let views = CellViews::new(&part, &Pose::identity(), &routine.points, &[]);
            // Three places on two metres have more names than one drawing has room for.
            assert_eq!(views.numbered, part.name == "bench-frame", "{}", part.name);
            for named in [&views.on_plan, &views.in_elevation] {
                assert_eq!(named.len(), routine.points.len(), "{}", part.name);
                let place = |n: &NamedPoint| {
                    let width = n.name.chars().count() as f64 * LETTER;
                    Rect::new(n.label.x, n.label.y - LETTERS * 0.75, n.label.x + width, n.label.y)
                };
                for (i, a) in named.iter().enumerate() {
                    let inside = place(a).x0 >= 0.0 && place(a).x1 <= WIDTH;
                    assert!(inside, "{}: {} leaves the drawing", part.name, a.name);
                    for b in &named[i + 1..] {
                        assert!(
                            !place(a).overlaps(place(b)),
                            "{}: {} covers {}",
                            part.name,
                            a.name,
                            b.name
                        );
                    }
                }
            }
        }
    }
}
