//! Where names and numbers stand on the plan, so that none lies over another.

use super::arm::BaseMark;
use super::cutter::CutterMark;
use super::layout::{SheetFormat, SheetLayout};
use super::number::length;
use super::overlays::over_plan;
use super::route_marks::ROUND;
use super::svg_path::body_plan;
use super::words::{Words, best_way, line_height, text_width};
use crate::app::i18n::{Key, format, text};
use kurbo::{Point, Rect, Shape, Vec2};
use nudgeproof::cell::{Body, Part};
use nudgeproof::geometry::Pose;
use nudgeproof::routine::{Routine, StepId, TaughtPoint};

/// A taught point on the plan, with its name beside it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PointMark {
    pub(crate) name: String,
    pub(crate) at: Point,
    /// Where the base line of the name begins, or ends.
    pub(crate) label: Point,
    /// `start` or `end`: the `text-anchor` of the name.
    pub(crate) anchor: &'static str,
    /// The selected step goes to it.
    pub(crate) chosen: bool,
    /// Whether its name is written: it covers little, or the selected step goes there. On a small sheet not
    /// every name of a long part has room.
    pub(crate) named: bool,
}

/// A name that covers more than this share of its room cannot be read.
const READABLE: f64 = 0.3;
/// The same on a phone.
const SMALL_READABLE: f64 = 0.12;

/// Gap between a point and its name, pixels.
const GAP: f64 = 8.0;

/// Words beside the seam.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SeamWords {
    pub(crate) text: String,
    /// The middle of their base line.
    pub(crate) at: Point,
}

/// All that is named on the plan.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct PlanLabels {
    /// The names of clamps and stops, in their order, and of the wire cutter.
    pub(crate) fixture: Vec<Words>,
    /// What is said about the base of the arm.
    pub(crate) arm: Option<Words>,
    /// Every taught point, from the top of the plan down.
    pub(crate) points: Vec<PointMark>,
    /// For each weld, words about its ends, or one about both.
    pub(crate) seams: Vec<Vec<SeamWords>>,
    /// The room that all words take but the names of points, and what lies over the plan.
    pub(crate) words: Vec<Rect>,
    /// The room that the points take with their names.
    pub(crate) names: Vec<Rect>,
    /// The room of the numbers of feels.
    numbers: Vec<Rect>,
}

/// What is to be said beside a seam.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BesideSeam<'a> {
    /// The ends of the weld as drawn.
    pub(crate) ends: [Point; 2],
    /// From the seam to its upright plate, a unit vector on the drawing.
    pub(crate) plate: Vec2,
    /// One text for each end, or one for both.
    pub(crate) texts: &'a [String],
}

impl PlanLabels {
    /// Places names of the fixture first, then what is said beside the seam, then the names of the points.
    /// `numbers` are the middles of the numbers of feels.
    pub(crate) fn new(
        routine: &Routine,
        cursor: Option<StepId>,
        part: &Part,
        numbers: &[Point],
        beside: &[BesideSeam<'_>],
        layout: &SheetLayout,
    ) -> Self {
        let mut taken = over_plan(layout);
        let fixture = fixture_names(part, layout, &mut taken);
        let arm = arm_words(part, layout, &mut taken);
        let round = |n: &Point| Rect::from_center_size(*n, (ROUND, ROUND));
        let numbers: Vec<_> = numbers.iter().map(round).collect();
        let before = taken.len();
        let points: Vec<_> = routine.points.iter().map(|p| at_point(p, layout)).collect();
        taken.extend(numbers.iter().chain(&points));
        let held = taken.len();
        let seams = beside.iter().map(|b| seam_words(b, layout, &mut taken)).collect();
        let said = taken.len();
        let marks = point_marks(routine, cursor, part, layout, &mut taken);
        let names = taken.split_off(said).into_iter().chain(points).collect();
        let words = taken[..before].iter().chain(&taken[held..]).copied().collect();
        Self { fixture, arm, points: marks, seams, words, names, numbers }
    }

    /// The room that all of it takes.
    pub(crate) fn taken(&self) -> Vec<Rect> {
        self.words.iter().chain(&self.names).chain(&self.numbers).copied().collect()
    }
}

/// The room of a taught point itself.
fn at_point(point: &TaughtPoint, layout: &SheetLayout) -> Rect {
    Rect::from_center_size(layout.projection.plan.point(&point.at), (10.0, 10.0))
}

/// The names of clamps and stops: on them, or beside them where the part or another name is in the way.
fn fixture_names(part: &Part, layout: &SheetLayout, taken: &mut Vec<Rect>) -> Vec<Words> {
    let plan = &layout.projection.plan;
    let (half, line) = (layout.letter * 0.7, line_height(layout.letter));
    let bodies = part.bodies.iter().map(|b| body_plan(b, &Pose::identity(), plan).bounding_box());
    let mut avoided: Vec<_> = taken.iter().copied().chain(bodies).collect();
    let mut place = |name: &str, area: Rect, on: bool| {
        let middle = area.center();
        let at = |x: f64, y: f64, anchor| Words::new(name, Point::new(x, y + half), anchor);
        // A name that would leave the drawing is pushed back.
        let (view, width) = (&layout.drawing, text_width(name, layout.letter) / 2.0 + 2.0);
        let x = middle.x.clamp(view.x0 + width, (view.x1 - width).max(view.x0 + width));
        let below = at(x, area.y1 + line * 0.7, "middle");
        let ways = [
            if on { at(middle.x, middle.y, "middle") } else { below.clone() },
            below,
            at(x, area.y0 - line * 0.7, "middle"),
            at(area.x1 + 4.0, middle.y, "start"),
            at(area.x0 - 4.0, middle.y, "end"),
            at(area.x0, area.y1 + line * 0.7, "start"),
            at(area.x1, area.y1 + line * 0.7, "end"),
        ];
        let room = |words: &Words| words.room(layout.letter);
        let words = best_way(ways, room, &mut avoided, &layout.drawing);
        words.unwrap_or_else(|| at(middle.x, middle.y, "middle"))
    };
    let area = |clamp: &Body| body_plan(clamp, &Pose::identity(), plan).bounding_box();
    let clamps = part.clamps.iter().map(|clamp| (clamp.name.as_str(), area(clamp), true));
    let jaws = CutterMark::new(part, layout).jaws;
    let jaws = jaws[0].bounding_box().union(jaws[1].bounding_box());
    let cutter = (text(Key::WireCutter), jaws, false);
    let names: Vec<_> =
        clamps.chain([cutter]).map(|(name, area, on)| place(name, area, on)).collect();
    taken.extend(names.iter().map(|words| words.room(layout.letter)));
    names
}

/// What is said about the base of the arm, beside its sign; nothing for a class or on a narrow sheet.
fn arm_words(part: &Part, layout: &SheetLayout, taken: &mut Vec<Rect>) -> Option<Words> {
    let mark = BaseMark::new(part, layout).filter(|_| layout.format == SheetFormat::Desk)?;
    let said = format(Key::ArmBase, &[&length(mark.beyond, 0)]);
    let (line, at) = (line_height(layout.letter), mark.at);
    let ways = [1.2, 0.6, -0.6, 2.2, 3.4].into_iter().flat_map(|down| {
        [(18.0, "start"), (-18.0, "end")]
            .map(|(by, anchor)| Words::new(&said, at + Vec2::new(by, down * line), anchor))
    });
    let view = layout.plan.inset(-3.0);
    best_way(ways, |words| words.room(layout.letter), taken, &view)
}

/// How much wider the letters beside a seam are than those of a name.
const BOLD: f64 = 1.12;
/// Distances of words from the seam to try, in lines: on the side of the plate, then on the other.
const OFFS: [f64; 9] = [3.8, 4.9, 6.0, 7.2, -3.8, -4.9, -6.0, 8.3, 9.5];

/// Words about an end begin there and run inwards; those about both stand in the middle.
fn seam_words(
    beside: &BesideSeam<'_>,
    layout: &SheetLayout,
    taken: &mut Vec<Rect>,
) -> Vec<SeamWords> {
    let BesideSeam { ends, plate, texts } = *beside;
    let (plan, letter) = (&layout.plan, layout.letter * BOLD);
    let words = |(end, text): (usize, &String)| {
        let width = text_width(text, letter);
        let half = width / 2.0 + 4.0;
        let middle = if texts.len() == 1 {
            ends[0].midpoint(ends[1])
        } else {
            let inward = if ends[1 - end].x < ends[end].x { -1.0 } else { 1.0 };
            ends[end] + Vec2::new(inward * (width / 2.0 - 8.0), 0.0)
        };
        let inwards = (ends[0].midpoint(ends[1]).x - middle.x).signum();
        let at = |[off, share]: [f64; 2]| {
            let off = off * line_height(layout.letter);
            let x = (middle.x + plate.x * off + inwards * share * width)
                .clamp(plan.x0 + half, (plan.x1 - half).max(plan.x0 + half));
            Words::new(text, Point::new(x, middle.y + plate.y * off + 4.0), "middle")
        };
        // Further inwards where there is no room on any line.
        let ways = [0.0, 0.2, 0.4, 0.6].into_iter();
        let ways = ways.flat_map(|share| OFFS.map(|off| at([off, share])));
        let placed = best_way(ways, |words| words.room(letter), taken, plan);
        let Words { text, at, .. } = placed.unwrap_or_else(|| at([OFFS[0], 0.0]));
        SeamWords { text, at }
    };
    texts.iter().take(2).enumerate().map(words).collect()
}

/// Every taught point of a routine, from the top of the plan down.
fn point_marks(
    routine: &Routine,
    cursor: Option<StepId>,
    part: &Part,
    layout: &SheetLayout,
    taken: &mut Vec<Rect>,
) -> Vec<PointMark> {
    let chosen = cursor
        .and_then(|id| routine.index_of(id))
        .and_then(|i| routine.steps[i].instruction.point());
    // From the top down: a name that has to give way then goes down, not past its neighbour's.
    let mut points: Vec<_> = routine.points.iter().collect();
    points.sort_by(|a, b| b.at.y.total_cmp(&a.at.y));
    let middle = part.play.about[0];
    let mark = |p: &TaughtPoint| {
        let at = layout.projection.plan.point(&p.at);
        let chosen = chosen == Some(&*p.name);
        let (Words { at: label, anchor, .. }, free) = name_place(at, p, middle, layout, taken);
        let named = free || chosen;
        if !named {
            taken.pop();
        }
        PointMark { name: p.name.clone(), at, label, anchor, chosen, named }
    };
    points.into_iter().map(mark).collect()
}

/// Where a point's name stands: on the side away from the middle of the part (`middle`, X, mm); a line
/// further down or up, or on the other side, where something is in the way. And whether it has found room.
fn name_place(
    at: Point,
    point: &TaughtPoint,
    middle: f64,
    layout: &SheetLayout,
    taken: &mut Vec<Rect>,
) -> (Words, bool) {
    let (letter, line) = (layout.letter, line_height(layout.letter));
    let place = |left: bool, lines: f64| {
        let (by, anchor) = if left { (-GAP, "end") } else { (GAP, "start") };
        Words::new(&point.name, at + Vec2::new(by, letter * 0.7 + lines * line), anchor)
    };
    let left = point.at.x < middle;
    let lines = [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0];
    let ways = [left, !left].into_iter().flat_map(|l| lines.map(|line| place(l, line)));
    let before = taken.len();
    let name = best_way(ways, |words| words.room(letter), taken, &layout.drawing);
    let name = name.unwrap_or_else(|| place(left, 0.0));
    let room = name.room(letter);
    let covers: f64 = taken[..before].iter().map(|t| t.intersect(room).area()).sum();
    let outside = room.area() - room.intersect(layout.drawing).area();
    let most = if layout.narrow() { SMALL_READABLE } else { READABLE };
    (name, outside < 1.0 && covers <= room.area() * most)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::layout::SheetExtent;
    use nudgeproof::cell::first_part;
    use nudgeproof::geometry::Point3;

    fn routine(points: &[(&str, f64, f64)]) -> Routine {
        let taught = |&(name, x, y): &(&str, f64, f64)| TaughtPoint {
            name: name.into(),
            at: Point3::new(x, y, 5.0),
        };
        Routine { points: points.iter().map(taught).collect(), ..Routine::default() }
    }

    fn marks(points: &[(&str, f64, f64)]) -> Vec<PointMark> {
        labels(points, &[], &[]).points
    }

    fn labels(
        points: &[(&str, f64, f64)],
        numbers: &[Point],
        beside: &[BesideSeam<'_>],
    ) -> PlanLabels {
        let part = first_part();
        let layout =
            SheetLayout::new(720.0, 600.0, &SheetExtent::of(&part), SheetFormat::of(720.0, false));
        PlanLabels::new(&routine(points), None, &part, numbers, beside, &layout)
    }

    #[test]
    fn a_name_stands_away_from_the_middle_of_the_part() {
        let marks = marks(&[("west", -16.0, 120.0), ("east", 416.0, 120.0)]);
        assert_eq!(marks.iter().map(|m| m.anchor).collect::<Vec<_>>(), ["end", "start"], "sides");
        assert!(marks[0].label.x < marks[0].at.x && marks[1].label.x > marks[1].at.x, "beside");
    }

    #[test]
    fn a_second_name_at_the_same_place_gives_way() {
        let marks = marks(&[("first", -16.0, 120.0), ("second", -16.0, 120.0)]);
        let apart = marks[1].label.y - marks[0].label.y;
        assert!((apart - line_height(5.8)).abs() < 1e-9, "one line down, not {apart} pixels");
    }

    #[test]
    fn a_name_without_room_is_left_out_until_its_step_is_selected() {
        let many = [("point", 200.0, 120.0); 16];
        let marks = marks(&many);
        assert!(marks[0].named, "the first has room");
        assert!(!marks[15].named, "fourteen places, and sixteen names");
    }

    /// Where words stand, as far as letters of 5.8 pixels take them.
    fn room(words: &SeamWords) -> Rect {
        let width = words.text.chars().count() as f64 * 5.8;
        Rect::from_center_size(words.at - (0.0, 3.5), (width, 11.5))
    }

    #[test]
    fn words_about_the_ends_of_a_weld_stand_on_the_side_of_its_plate() {
        let ends = [Point::new(150.0, 200.0), Point::new(400.0, 200.0)];
        let texts = ["A ±0.69 ✗".to_owned(), "B ±0.51 ✓".to_owned()];
        let beside = BesideSeam { ends, plate: Vec2::new(0.0, -1.0), texts: &texts };
        let placed = labels(&[], &[], &[beside]).seams.remove(0);
        let [a, b] = &placed[..] else { panic!("one at each end") };
        assert!(a.at.x > 150.0 && b.at.x < 400.0, "from each end inwards");
        assert!(a.at.y < 170.0 && (a.at.y - b.at.y).abs() < 1e-9, "above it, side by side");
        let number = labels(&[], &[a.at], &[beside]).seams.remove(0);
        assert!(number[0].at.y < a.at.y - 10.0, "further off where a number stands");
    }

    #[test]
    fn words_that_would_meet_stand_one_above_the_other_and_names_keep_off_them() {
        let part = first_part();
        let layout =
            SheetLayout::new(390.0, 300.0, &SheetExtent::of(&part), SheetFormat::of(390.0, false));
        let ends = [Point::new(150.0, 120.0), Point::new(230.0, 120.0)];
        let long = "A ±0.69 ✗ → ±0.51 ✓".to_owned();
        let texts = [long.clone(), long];
        let beside = BesideSeam { ends, plate: Vec2::new(0.0, -1.0), texts: &texts };
        let empty = PlanLabels::new(&Routine::default(), None, &part, &[], &[beside], &layout);
        let [a, b] = &empty.seams[0][..] else { panic!("one at each end") };
        assert!(!room(a).overlaps(room(b)), "{a:?} and {b:?}");
        // A point whose name would stand on the words.
        let under = layout.projection.plan.point_back(a.at + Vec2::new(-40.0, 0.0));
        let routine = routine(&[("approach", under.x, under.y)]);
        let both = PlanLabels::new(&routine, None, &part, &[], &[beside], &layout);
        let name = &both.points[0];
        let width = 8.0 * 5.8;
        let x = if name.anchor == "end" { name.label.x - width } else { name.label.x };
        let name = Rect::new(x, name.label.y - 9.0, x + width, name.label.y + 1.5);
        for words in &both.seams[0] {
            assert!(!room(words).overlaps(name), "{words:?} and the name at {name:?}");
        }
    }
}
