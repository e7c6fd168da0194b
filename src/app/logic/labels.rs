//! Where names and numbers stand on the plan, so that none lies over another.

use super::cutter::CutterMark;
use super::layout::SheetLayout;
use super::projection::PlanProjection;
use crate::app::i18n::{Key, text};
use kurbo::{Point, Rect, Vec2};
use nudgeproof::cell::{Body, Part};
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{Instruction, Routine, StepId, TaughtPoint};

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
}

/// Height of a line of a point's name, pixels.
const LINE: f64 = 11.5;
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
    /// Every taught point, from the top of the plan down.
    pub(crate) points: Vec<PointMark>,
    /// Words about the ends of the weld, or one about both.
    pub(crate) seam: Vec<SeamWords>,
    /// The room that all of it takes, with what stands on the plan anyway.
    pub(crate) taken: Vec<Rect>,
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
    /// Places what is said beside the seam first, then the names of the points round it. `numbers` are
    /// the middles of the numbers of feels.
    pub(crate) fn new(
        routine: &Routine,
        cursor: Option<StepId>,
        part: &Part,
        numbers: &[Point],
        beside: Option<BesideSeam<'_>>,
        layout: &SheetLayout,
    ) -> Self {
        let mut taken = taken_places(part, routine, layout);
        taken.extend(numbers.iter().map(|n| Rect::from_center_size(*n, (17.0, 17.0))));
        let seam = beside.map_or_else(Vec::new, |b| seam_words(&b, layout, &mut taken));
        let points = point_marks(routine, cursor, part, layout, &mut taken);
        Self { points, seam, taken }
    }
}

/// Distances of words from the seam to try, pixels: on the side of the plate, then on the other.
const OFFS: [f64; 9] = [44.0, 57.0, 70.0, 83.0, -44.0, -57.0, -70.0, 96.0, 110.0];

/// Words about an end begin there and run inwards; those about both stand in the middle.
fn seam_words(
    beside: &BesideSeam<'_>,
    layout: &SheetLayout,
    taken: &mut Vec<Rect>,
) -> Vec<SeamWords> {
    let BesideSeam { ends, plate, texts } = *beside;
    let plan = &layout.plan;
    let words = |(end, text): (usize, &String)| {
        let width = text_width(text, layout);
        let half = width / 2.0 + 4.0;
        let middle = if texts.len() == 1 {
            ends[0].midpoint(ends[1])
        } else {
            let inward = if ends[1 - end].x < ends[end].x { -1.0 } else { 1.0 };
            ends[end] + Vec2::new(inward * (width / 2.0 - 8.0), 0.0)
        };
        let at = |off: f64| {
            let x = (middle.x + plate.x * off)
                .clamp(plan.x0 + half, (plan.x1 - half).max(plan.x0 + half));
            Rect::from_center_size((x, middle.y + plate.y * off), (width, LINE + 1.0))
        };
        let free = |r: &Rect| {
            let inside = r.y0 > plan.y0 && r.y1 < plan.y1;
            inside && !taken.iter().any(|taken| taken.overlaps(*r))
        };
        let place = OFFS.into_iter().map(at).find(free).unwrap_or_else(|| at(OFFS[0]));
        taken.push(place);
        SeamWords { text: text.clone(), at: Point::new(place.center().x, place.y1 - 2.5) }
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
        let (label, anchor) = name_place(at, p, middle, layout, taken);
        PointMark { name: p.name.clone(), at, label, anchor, chosen: chosen == Some(&*p.name) }
    };
    points.into_iter().map(mark).collect()
}

/// The middle of a clamp on the plan, where its name stands.
pub(crate) fn clamp_middle(clamp: &Body, plan: &PlanProjection) -> Point {
    let corners = &clamp.outline.corners;
    let n = corners.len().max(1) as f64;
    let (x, y) = corners.iter().fold((0.0, 0.0), |(x, y), c| (x + c.at.x, y + c.at.y));
    plan.point(&Point3::new(x / n, y / n, 0.0))
}

/// What names avoid while there is room elsewhere: points, numbers of touches, names of clamps and of the wire cutter.
fn taken_places(part: &Part, routine: &Routine, layout: &SheetLayout) -> Vec<Rect> {
    let plan = &layout.projection.plan;
    let about = |s: Point, width: f64| Rect::from_center_size(s, (width, 10.0));
    let mut taken: Vec<_> = routine.points.iter().map(|p| about(plan.point(&p.at), 10.0)).collect();
    for step in &routine.steps {
        if let Instruction::Feel { from, direction, .. } = &step.instruction
            && let Some(p) = routine.point(from)
        {
            let number = Vec2::new(direction.y.abs(), direction.x.abs()) * 9.0;
            taken.push(about(plan.point(&p.at) - number, 9.0));
        }
    }
    let named = |clamp: &Body| about(clamp_middle(clamp, plan), text_width(&clamp.name, layout));
    taken.extend(part.clamps.iter().map(named));
    let cutter = CutterMark::new(part, layout);
    let width = text_width(text(Key::WireCutter), layout);
    taken.push(Rect::from_center_size(cutter.label - (0.0, 4.0), (width, LINE - 1.0)));
    taken
}

fn text_width(text: &str, layout: &SheetLayout) -> f64 {
    text.chars().count() as f64 * layout.letter
}

/// Where a point's name stands: on the side away from the middle of the part (`middle`, X, mm)
/// unless it would leave the plan there; a line further down or up, or on the other side, where
/// something is in the way.
fn name_place(
    at: Point,
    point: &TaughtPoint,
    middle: f64,
    layout: &SheetLayout,
    taken: &mut Vec<Rect>,
) -> (Point, &'static str) {
    let (width, plan) = (text_width(&point.name, layout), &layout.plan);
    let room = width + 12.0;
    let left = point.at.x < middle && at.x - room > plan.x0 || at.x + room > plan.x1;
    let place = |left: bool, line: f64| {
        let x = if left { at.x - GAP - width } else { at.x + GAP };
        Rect::from_origin_size((x, at.y - 5.0 + line * LINE), (width, LINE - 1.0))
    };
    let lines = [0.0, 1.0, -1.0, 2.0, -2.0];
    let mut places = [left, !left].into_iter().flat_map(|l| lines.map(|line| (l, line)));
    let free = |p: &Rect| {
        p.x0 > plan.x0 && p.x1 < plan.x1 && !taken.iter().any(|taken| taken.overlaps(*p))
    };
    let (left, line) = places.find(|(l, n)| free(&place(*l, *n))).unwrap_or((left, 0.0));
    let name = place(left, line);
    let (x, anchor) = if left { (name.x1, "end") } else { (name.x0, "start") };
    taken.push(name);
    (Point::new(x, at.y + 4.0 + line * LINE), anchor)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::layout::{SheetExtent, SheetFormat};
    use nudgeproof::cell::parts;

    fn routine(points: &[(&str, f64, f64)]) -> Routine {
        let taught = |&(name, x, y): &(&str, f64, f64)| TaughtPoint {
            name: name.into(),
            at: Point3::new(x, y, 5.0),
        };
        Routine { points: points.iter().map(taught).collect(), ..Routine::default() }
    }

    fn marks(points: &[(&str, f64, f64)]) -> Vec<PointMark> {
        labels(points, &[], None).points
    }

    fn labels(
        points: &[(&str, f64, f64)],
        numbers: &[Point],
        beside: Option<BesideSeam<'_>>,
    ) -> PlanLabels {
        let part = parts().into_iter().next().expect("a part");
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
        assert!((apart - LINE).abs() < 1e-9, "one line down, not {apart} pixels");
    }

    /// Where words stand, as far as letters of 5.8 pixels take them.
    fn room(words: &SeamWords) -> Rect {
        let width = words.text.chars().count() as f64 * 5.8;
        Rect::from_center_size(words.at - (0.0, 3.5), (width, LINE))
    }

    #[test]
    fn words_about_the_ends_of_a_weld_stand_on_the_side_of_its_plate() {
        let ends = [Point::new(150.0, 200.0), Point::new(400.0, 200.0)];
        let texts = ["A ±0.69 ✗".to_owned(), "B ±0.51 ✓".to_owned()];
        let beside = BesideSeam { ends, plate: Vec2::new(0.0, -1.0), texts: &texts };
        let placed = labels(&[], &[], Some(beside)).seam;
        let [a, b] = &placed[..] else { panic!("one at each end") };
        assert!(a.at.x > 150.0 && b.at.x < 400.0, "from each end inwards");
        assert!(a.at.y < 170.0 && (a.at.y - b.at.y).abs() < 1e-9, "above it, side by side");
        let number = labels(&[], &[a.at], Some(beside)).seam;
        assert!(number[0].at.y < a.at.y - 10.0, "further off where a number stands");
    }

    #[test]
    fn words_that_would_meet_stand_one_above_the_other_and_names_keep_off_them() {
        let part = parts().into_iter().next().expect("a part");
        let layout =
            SheetLayout::new(390.0, 300.0, &SheetExtent::of(&part), SheetFormat::of(390.0, false));
        let ends = [Point::new(150.0, 120.0), Point::new(230.0, 120.0)];
        let long = "A ±0.69 ✗ → ±0.51 ✓".to_owned();
        let texts = [long.clone(), long];
        let beside = BesideSeam { ends, plate: Vec2::new(0.0, -1.0), texts: &texts };
        let empty = PlanLabels::new(&Routine::default(), None, &part, &[], Some(beside), &layout);
        let [a, b] = &empty.seam[..] else { panic!("one at each end") };
        assert!(!room(a).overlaps(room(b)), "{a:?} and {b:?}");
        // A point whose name would stand on the words.
        let under = layout.projection.plan.point_back(a.at + Vec2::new(-40.0, 0.0));
        let routine = routine(&[("approach", under.x, under.y)]);
        let both = PlanLabels::new(&routine, None, &part, &[], Some(beside), &layout);
        let name = &both.points[0];
        let width = 8.0 * 5.8;
        let x = if name.anchor == "end" { name.label.x - width } else { name.label.x };
        let name = Rect::new(x, name.label.y - 9.0, x + width, name.label.y + 1.5);
        for words in &both.seam {
            assert!(!room(words).overlaps(name), "{words:?} and the name at {name:?}");
        }
    }
}
