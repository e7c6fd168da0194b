//! Distances from what is in hand, and the lines that it snaps to, as the sheet draws them.

use super::aim::Aim;
use super::dimension::Dimension;
use super::distances::{Ahead, Lever};
use super::layout::SheetLayout;
use super::overlays::{STRIP_TABS, over_elevation};
use super::snap::{Level, OnPlan};
use super::words::{Words, best_way, line_height, text_width};
use crate::app::i18n::{Key, format, text};
use kurbo::{Line, Point, Rect};
use nudgeproof::geometry::Point3;

/// A dimension with its words.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DistanceMark {
    pub(crate) dimension: Dimension,
    pub(crate) words: Words,
}

/// Distance of the dimension line to the face from the torch, pixels: clear of the nozzle.
const ASIDE: f64 = 52.0;
/// Distance of the lever's dimension line from the torch, pixels.
const LEVER_ASIDE: f64 = 78.0;
/// The same on a narrow sheet.
const LEVER_ASIDE_NARROW: f64 = 34.0;
/// Room that an arrow outside its dimension takes, and a gap, pixels.
const ARROW: f64 = 15.0;
/// Least distance of a dimension line from the edge of the plan, pixels.
const EDGE: f64 = 18.0;

/// A place that stays this far inside a range, wherever it fits.
fn within(value: f64, low: f64, high: f64, edge: f64) -> f64 {
    value.clamp(low + edge, (high - edge).max(low + edge))
}

/// Words that begin at a place, or end there where they would leave the plan otherwise.
fn beside(text: String, at: Point, gap: f64, to_the_right: bool, layout: &SheetLayout) -> Words {
    let (width, plan) = (text_width(&text, layout.letter), &layout.plan);
    let right = if to_the_right {
        at.x + gap + width < plan.x1 || at.x - gap - width < plan.x0
    } else {
        at.x - gap - width < plan.x0 && at.x + gap + width < plan.x1
    };
    let (x, anchor) = if right { (at.x + gap, "start") } else { (at.x - gap, "end") };
    Words { text, at: Point::new(x, at.y), anchor }
}

/// The best of several ways to draw something with words on the plan.
fn best_on_plan<T>(
    ways: impl Iterator<Item = T>,
    words: impl Fn(&T) -> &Words,
    taken: &mut Vec<Rect>,
    layout: &SheetLayout,
) -> Option<T> {
    best_way(ways, |way| words(way).room(layout.letter), taken, &layout.plan)
}

/// Everything about what is in hand on the plan. The words keep off what is named there.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlanDistances {
    pub(crate) ahead: Option<DistanceMark>,
    pub(crate) lever: Option<DistanceMark>,
    pub(crate) guides: Vec<Guide>,
    pub(crate) inside: Option<Words>,
}

/// What is to be told of what is in hand, with its words.
#[derive(Debug, Clone, Default)]
pub(crate) struct ToTell {
    pub(crate) ahead: Option<(Ahead, String)>,
    pub(crate) lever: Option<(Lever, String)>,
    pub(crate) on: Vec<OnPlan>,
    pub(crate) inside: Option<String>,
}

/// Shifts to try of a dimension line, away from where it best stands, pixels.
const SHIFTS: [f64; 6] = [0.0, 14.0, 28.0, 42.0, 56.0, 70.0];
/// Shifts to try of words beside a line, pixels.
const LIFTS: [f64; 8] = [0.0, -13.0, 13.0, 26.0, -26.0, 39.0, -39.0, 52.0];

impl PlanDistances {
    /// What is in hand stands at `at`, a feel from there goes in the direction `aim`; `taken` has the
    /// room of all names on the plan.
    pub(crate) fn new(
        at: &Point3<f64>,
        aim: Aim,
        tell: &ToTell,
        mut taken: Vec<Rect>,
        layout: &SheetLayout,
    ) -> Self {
        let torch = layout.projection.plan.point(at);
        taken.push(Rect::from_center_size(torch, (34.0, 34.0)));
        let taken = &mut taken;
        let inside = tell.inside.as_ref().and_then(|text| {
            let at =
                |down: f64| Words { text: text.clone(), at: torch + (0.0, down), anchor: "middle" };
            best_on_plan([34.0, 48.0, -26.0, -40.0, 62.0].into_iter().map(at), |w| w, taken, layout)
        });
        let ahead = tell.ahead.as_ref().and_then(|(ahead, words)| {
            // Another line above or below for the words costs less than another place for the arrows.
            let asides =
                [1.0, -1.0].into_iter().flat_map(|side| SHIFTS.map(|by| side * (ASIDE + by)));
            let ways = asides.flat_map(|aside| LIFTS.map(|lift| [aside, lift]));
            let ways = ways.filter_map(|way| distance_ahead(at, ahead, aim, words, way, layout));
            best_on_plan(ways, |mark| &mark.words, taken, layout)
        });
        let lever = tell.lever.as_ref().and_then(|(lever, words)| {
            let aside = if layout.narrow() { LEVER_ASIDE_NARROW } else { LEVER_ASIDE };
            let asides = SHIFTS.into_iter().map(|shift| aside + shift);
            let ways = asides.filter_map(|by| lever_mark(at, lever, aim, words, by, layout));
            best_on_plan(ways, |mark| &mark.words, taken, layout)
        });
        let guide = |on: &OnPlan| {
            let lifts = [0.0, 19.0, -19.0, 39.0].into_iter();
            let ways =
                lifts.flat_map(|lift| [0.36, 0.5, 0.64, 0.8, 0.2].map(|share| [share, lift]));
            let ways = ways.map(|way| plan_guide(at, on, way, layout));
            best_on_plan(ways, |guide| &guide.words, taken, layout)
        };
        let guides = tell.on.iter().filter_map(guide).collect();
        Self { ahead, lever, guides, inside }
    }
}

/// The distance to the face that a feel would meet, on a line `aside` from the torch: above it, or right
/// of it; negative on the other side. The words of an upright one are shifted down by `lift`.
fn distance_ahead(
    torch: &Point3<f64>,
    ahead: &Ahead,
    aim: Aim,
    words: &str,
    [aside, lift]: [f64; 2],
    layout: &SheetLayout,
) -> Option<DistanceMark> {
    let plan = &layout.projection.plan;
    let [from, to] = [torch, &ahead.contact].map(|p| plan.point(p));
    let (view, words) = (&layout.plan, words.to_owned());
    let upright = match aim {
        Aim::PlusX | Aim::MinusX => false,
        Aim::PlusY | Aim::MinusY => true,
        Aim::MinusZ => return None,
    };
    let level = if upright { from.x + aside } else { from.y - aside };
    let [low, high] = if upright { [view.x0, view.x1] } else { [view.y0, view.y1] };
    if level < low + EDGE || level > high - EDGE {
        return None;
    }
    let dimension = Dimension::new(from, to, level, upright)?;
    let words = if upright {
        let middle = Point::new(level, f64::midpoint(from.y, to.y) + 4.0 + lift);
        beside(words, middle, 8.0, level > from.x, layout)
    } else {
        let outer = if aim == Aim::PlusX { from.x.min(to.x) } else { from.x.max(to.x) };
        beside(words, Point::new(outer, level + 4.0), ARROW, aim == Aim::MinusX, layout)
    };
    Some(DistanceMark { dimension, words })
}

/// The lever to the last feel on the same face, on a line `aside` from the torch, on the side away from
/// the part.
fn lever_mark(
    torch: &Point3<f64>,
    lever: &Lever,
    aim: Aim,
    words: &str,
    aside: f64,
    layout: &SheetLayout,
) -> Option<DistanceMark> {
    let plan = &layout.projection.plan;
    let [from, to] = [&lever.from, torch].map(|p| plan.point(p));
    let (view, upright, words) = (&layout.plan, lever.along_y, words.to_owned());
    let level = match aim {
        Aim::PlusX => within(to.x - aside, view.x0, view.x1, EDGE),
        Aim::MinusX => within(to.x + aside, view.x0, view.x1, EDGE),
        Aim::PlusY => within(to.y + aside, view.y0, view.y1, EDGE),
        Aim::MinusY => within(to.y - aside, view.y0, view.y1, EDGE),
        Aim::MinusZ => return None,
    };
    let dimension = Dimension::new(from, to, level, upright)?;
    let words = if upright {
        let middle = Point::new(level, f64::midpoint(from.y, to.y) + 4.0);
        beside(words, middle, 6.0, aim == Aim::MinusX, layout)
    } else {
        let middle = Point::new(f64::midpoint(from.x, to.x), level - 4.0);
        Words { text: words, at: middle, anchor: "middle" }
    };
    Some(DistanceMark { dimension, words })
}

/// A thin dashed line that the torch stands on, and its words.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Guide {
    pub(crate) line: Line,
    pub(crate) words: Words,
}

/// How far a guide runs on past torch and point, pixels.
const PAST: f64 = 22.0;

/// A guide on the plan, its words at this share of the way from the torch, and so much further down.
fn plan_guide(
    torch: &Point3<f64>,
    on: &OnPlan,
    [share, lift]: [f64; 2],
    layout: &SheetLayout,
) -> Guide {
    let plan = &layout.projection.plan;
    let at = plan.point(torch);
    let through = |a: Point, b: Point| {
        let past = (b - a).normalize() * PAST;
        Line::new(a - past, b + past)
    };
    let below =
        |text: &str| beside(text.into(), at + (0.0, 20.0 + 28.0 * share), 6.0, true, layout);
    match on {
        OnPlan::SameX(start) | OnPlan::SameY(start) => {
            let from = plan.point(&start.at);
            let (said, place) = (format(Key::InLineWith, &[&start.name]), at.lerp(from, share));
            let words = match on {
                OnPlan::SameX(_) => beside(said, place, 7.0, at.x > layout.plan.center().x, layout),
                _ => Words { text: said, at: place + (0.0, lift - 5.0), anchor: "middle" },
            };
            Guide { line: through(from, at), words }
        }
        OnPlan::Seam([from, to]) => {
            let line = through(plan.point(from), plan.point(to));
            Guide { line, words: below(text(Key::OnSeam)) }
        }
        OnPlan::SeamEnd(end) => {
            let end = plan.point(end);
            let line = Line::new(end - (0.0, PAST), end + (0.0, PAST));
            Guide { line, words: below(text(Key::OnSeamEnd)) }
        }
    }
}

/// The guide in the elevation.
pub(crate) fn height_guide(torch: &Point3<f64>, level: &Level, layout: &SheetLayout) -> Guide {
    let (view, area) = (&layout.projection.elevation, &layout.elevation);
    let at = view.point(torch);
    let said = match level {
        Level::Start(start) => format(Key::LevelWith, &[&start.name]),
        Level::Seam(_) => text(Key::LevelWithSeam).into(),
        Level::MidFace(_) => text(Key::MidFace).into(),
    };
    // The words stand on the side where the torch is not.
    let (x, anchor) =
        if at.x > area.center().x { (area.x0 + 12.0, "start") } else { (area.x1 - 40.0, "end") };
    Guide {
        line: Line::new((area.x0 + 4.0, at.y), (area.x1 - 34.0, at.y)),
        words: Words { text: said, at: Point::new(x, at.y - 5.0), anchor },
    }
}

/// Room for the scale of heights at the right of the elevation, pixels.
const LADDER: f64 = 34.0;

/// Where lines about the torch stand in the elevation: right of it or left, at the height of its own label,
/// or lower where something else stands there. `at` is the place of this label, `torch_x` that of the torch.
pub(crate) fn beside_torch(
    lines: Vec<String>,
    at: Point,
    torch_x: f64,
    layout: &SheetLayout,
) -> Vec<Words> {
    let view = Rect { x1: layout.elevation.x1 - LADDER, ..layout.elevation };
    let line = line_height(layout.letter) * 1.1;
    let width = lines.iter().map(|l| text_width(l, layout.letter)).fold(0.0, f64::max);
    let height = line * lines.len() as f64;
    let right = (at.x.min(view.x1 - width), "start");
    let left = ((2.0 * torch_x - at.x).min(view.x1), "end");
    let top = (at.y + line - height).max(view.y0 + line);
    let ways = [top, view.y0 + STRIP_TABS + line]
        .into_iter()
        .flat_map(|y| [right, left].into_iter().map(move |(x, anchor)| (Point::new(x, y), anchor)));
    let room = |(at, anchor): &(Point, &str)| {
        let x = if *anchor == "end" { at.x - width } else { at.x };
        Rect::new(x, at.y - line, x + width, at.y - line + height)
    };
    let mut taken = over_elevation(layout);
    // The torch itself.
    taken.push(Rect::new(torch_x - 8.0, view.y0, torch_x + 8.0, view.y1));
    let Some((at, anchor)) = best_way(ways, room, &mut taken, &view) else { return Vec::new() };
    let place = |(i, text): (usize, String)| Words {
        text,
        at: Point::new(at.x, at.y + line * i as f64),
        anchor,
    };
    lines.into_iter().enumerate().map(place).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::layout::{SheetExtent, SheetFormat};
    use crate::app::logic::snap::Start;
    use nudgeproof::cell::part_by_name;

    fn layout(width: f64) -> SheetLayout {
        let part = part_by_name("bench-side").expect("it comes with the program");
        SheetLayout::new(width, 700.0, &SheetExtent::of(&part), SheetFormat::of(width, false))
    }

    fn west(x: f64, y: f64) -> (Point3<f64>, Ahead) {
        let contact = Point3::new(-0.6, y, 5.0);
        let ahead = Ahead { distance: -0.6 - x, contact, body: "plate".into(), on_part: true };
        (Point3::new(x, y, 5.0), ahead)
    }

    fn tell(
        torch: &Point3<f64>,
        ahead: &Ahead,
        said: &str,
        taken: Vec<Rect>,
        layout: &SheetLayout,
    ) -> PlanDistances {
        let ahead = Some((ahead.clone(), said.to_owned()));
        let tell = ToTell { ahead, ..ToTell::default() };
        PlanDistances::new(torch, Aim::PlusX, &tell, taken, layout)
    }

    #[test]
    fn the_distance_to_a_face_stands_clear_of_the_torch() {
        let layout = layout(1000.0);
        let (torch, ahead) = west(-16.0, 205.0);
        let said = "15.4 to the west face";
        let mark = tell(&torch, &ahead, said, Vec::new(), &layout).ahead.expect("a distance");
        let at = layout.projection.plan.point(&torch);
        assert!(mark.words.at.y < at.y - 30.0, "above the nozzle");
        assert_eq!(mark.words.anchor, "end", "on the side away from the part");
        assert!(mark.words.at.x < at.x, "left of the dimension");
        let on_face = layout.projection.plan.point(&ahead.contact).x;
        assert!((mark.dimension.heads[1].a.x - on_face).abs() < 1e-9, "up to the contact");
        let down = distance_ahead(&torch, &ahead, Aim::MinusZ, said, [ASIDE, 0.0], &layout);
        assert_eq!(down, None, "straight down it has no length on the plan");
        let name = mark.words.room(layout.letter);
        let moved = tell(&torch, &ahead, said, vec![name], &layout).ahead.expect("a distance");
        assert!(
            !moved.words.room(layout.letter).overlaps(name),
            "clear of a name that stands there"
        );
    }

    #[test]
    fn words_turn_round_at_the_edge_of_the_plan() {
        for width in [390.0, 1000.0] {
            let layout = layout(width);
            let (torch, ahead) = west(-150.0, 300.0);
            let text = "149.4 to the west face";
            let mark = tell(&torch, &ahead, text, Vec::new(), &layout).ahead.expect("a distance");
            let (room, plan) = (mark.words.room(layout.letter), layout.plan);
            assert!(room.x0 > plan.x0 && room.x1 < plan.x1, "{room:?} on {plan:?}");
            assert!(room.y0 > plan.y0 && room.y1 < plan.y1, "{room:?} on {plan:?}");
        }
    }

    #[test]
    fn a_lever_is_measured_on_the_side_away_from_the_part() {
        let layout = layout(1000.0);
        let lever = Lever { from: Point3::new(-16.0, 35.0, 5.0), length: 170.0, along_y: true };
        let torch = Point3::new(-16.0, 205.0, 5.0);
        let mark = lever_mark(&torch, &lever, Aim::PlusX, "lever 170.0", LEVER_ASIDE, &layout);
        let mark = mark.expect("a lever");
        let plan = &layout.projection.plan;
        assert!(mark.dimension.shaft.p0.x < plan.point(&torch).x - 30.0, "left of the torch");
        assert!((mark.dimension.shaft.length() - plan.px(170.0)).abs() < 1e-6, "170 mm long");
    }

    #[test]
    fn a_guide_runs_through_the_torch_and_what_it_is_in_line_with() {
        let layout = layout(1000.0);
        let start = Start { name: "west-1".into(), at: Point3::new(-16.0, 35.0, 5.0) };
        let torch = Point3::new(-16.0, 205.0, 5.0);
        let guide = plan_guide(&torch, &OnPlan::SameX(start), [0.5, 0.0], &layout);
        let plan = &layout.projection.plan;
        let (from, at) = (plan.point(&Point3::new(-16.0, 35.0, 5.0)), plan.point(&torch));
        assert!(guide.line.p0.y > from.y && guide.line.p1.y < at.y, "past both");
        assert_eq!(guide.words.text, "in line with west-1", "and says so");
    }

    #[test]
    fn lines_beside_the_torch_stay_in_the_elevation() {
        let layout = layout(1000.0);
        let (view, foot) = (layout.elevation, layout.elevation.y1 - 42.0);
        let x = view.x1 - 60.0;
        let lines =
            || vec!["tip 5.0 over the table".to_owned(), "7.0 under the top edge".to_owned()];
        let right = beside_torch(lines(), Point::new(60.0, foot), 50.0, &layout);
        assert_eq!((right[0].anchor, right[0].at.x), ("start", 60.0), "room on the right");
        let left = beside_torch(lines(), Point::new(x + 10.0, foot), x, &layout);
        assert_eq!((left[0].anchor, left[0].at.x), ("end", x - 10.0), "as far to the left");
        for words in right.iter().chain(&left) {
            assert!(
                words.at.y > view.y0 && words.at.y < view.y1 - 18.0,
                "over the table: {words:?}"
            );
        }
    }
}
