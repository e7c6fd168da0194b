//! Where the names of points and clamps stand on the plan.

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

/// Every taught point of a routine, from the top of the plan down.
pub(crate) fn point_marks(
    routine: &Routine,
    cursor: Option<StepId>,
    part: &Part,
    layout: &SheetLayout,
) -> Vec<PointMark> {
    let chosen = cursor
        .and_then(|id| routine.index_of(id))
        .and_then(|i| routine.steps[i].instruction.point());
    let mut taken = taken_places(part, routine, layout);
    // From the top down: a name that has to give way then goes down, not past its neighbour's.
    let mut points: Vec<_> = routine.points.iter().collect();
    points.sort_by(|a, b| b.at.y.total_cmp(&a.at.y));
    let middle = part.play.about[0];
    let mark = |p: &TaughtPoint| {
        let at = layout.projection.plan.point(&p.at);
        let (label, anchor) = name_place(at, p, middle, layout, &mut taken);
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
    use crate::app::logic::layout::SheetExtent;
    use nudgeproof::cell::parts;

    fn marks(points: &[(&str, f64, f64)]) -> Vec<PointMark> {
        let part = parts().into_iter().next().expect("a part");
        let layout = SheetLayout::new(720.0, 600.0, &SheetExtent::of(&part));
        let taught = |&(name, x, y): &(&str, f64, f64)| TaughtPoint {
            name: name.into(),
            at: Point3::new(x, y, 5.0),
        };
        let routine = Routine { points: points.iter().map(taught).collect(), ..Routine::default() };
        point_marks(&routine, None, &part, &layout)
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
}
