//! Where numbers and words stand on the drawing of a part of one's own, so that none lies over another. What has
//! no room is left out: dimensions and forecast stand beside the drawing too.

use super::forecast_marks::ForecastMarks;
use super::number::length;
use super::part_drawing::{DrawnDimension, NumberPlace, PartViews};
use super::svg_path::body_plan;
use super::words::{Words, line_height, text_width};
use kurbo::{Line, PathEl, Point, Rect, Shape, Vec2, flatten};
use nudgeproof::cell::{ModelTouch, Part};
use nudgeproof::geometry::{Pose, Vector3};

/// Mean width of the letters, which are bold, pixels.
const LETTER: f64 = 6.7;
/// Radius of the ring round the number of a touch, pixels.
pub(crate) const RING: f64 = 9.0;
/// From the start of a search back to the number of its touch, pixels.
const NUMBER_BEFORE: f64 = 14.0;
/// From a dimension line to the base line of its number, on either side of it, pixels.
const OVER: f64 = 4.0;
const UNDER: f64 = 13.0;
/// From a short upright line to the middle of the number on its right, pixels.
const BESIDE: f64 = 19.0;
/// The base line of the name of the plan, and how far above that of the other view the plan ends, pixels.
pub(crate) const PLAN_NAME: f64 = 18.0;
const UNDER_PLAN: f64 = 12.0;
/// From the limits at a weld end to the words about it, pixels; and by how many lines these may give way.
const OFF: f64 = 6.0;
const LINES: u8 = 4;

/// The number of a dimension.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Number {
    pub(crate) text: String,
    /// The middle of its base line, which is turned as its dimension says.
    pub(crate) at: Point,
    /// Whether it has room there.
    pub(crate) fits: bool,
    room: Rect,
}

/// The base line of the name of the elevation.
pub(crate) fn elevation_name(views: &PartViews) -> f64 {
    views.elevation.height(views.elevation.break_height) - 12.0
}

/// Where the number of a touch stands on the plan: before the start of its search, which runs to `to`.
pub(crate) fn ring_at(from: Point, to: Point) -> Point {
    match (from - to).length() {
        away if away > 1.0 => from + (from - to) * (NUMBER_BEFORE / away),
        _ => from,
    }
}

/// Start and way of a search on the plan.
pub(crate) fn touch_ends(touch: &ModelTouch, views: &PartViews) -> [Point; 2] {
    let to = touch.from + Vector3::from(touch.direction) * 10.0;
    [views.plan.point(&touch.from), views.plan.point(&to)]
}

fn rings(part: &Part, views: &PartViews) -> impl Iterator<Item = Rect> {
    let ends = part.model_touches.iter().map(|touch| touch_ends(touch, views));
    ends.map(|[from, to]| Rect::from_center_size(ring_at(from, to), (2.0 * RING, 2.0 * RING)))
}

fn free(room: Rect, taken: &[Rect]) -> bool {
    !taken.iter().any(|t| t.overlaps(room))
}

/// The numbers of dimensions, in their order: over their lines, or on the other side of them.
pub(crate) fn numbers(
    dimensions: &[DrawnDimension],
    part: &Part,
    views: &PartViews,
) -> Vec<Number> {
    let mut taken: Vec<_> = rings(part, views).collect();
    let mut number = |of: &DrawnDimension| {
        // Whole millimetres stand without a decimal.
        let decimals = usize::from(of.value < 20.0 && of.value.fract() > 1e-9);
        let text = length(of.value, decimals);
        let middle = of.line.shaft.midpoint();
        let on_table = views.elevation.table - OVER;
        let ways = match of.number {
            NumberPlace::Above => [-OVER, UNDER].map(|y| middle + Vec2::new(0.0, y)),
            NumberPlace::Turned => [-OVER, UNDER].map(|x| middle + Vec2::new(x, 0.0)),
            NumberPlace::Right => [0.0, -line_height(LETTER)]
                .map(|up| Point::new(middle.x + BESIDE, (middle.y + OVER).min(on_table) + up)),
        };
        let room = |at: Point| {
            let level = Words::new(&text, at, "middle").room(LETTER);
            if of.number != NumberPlace::Turned {
                return level;
            }
            let (across, along) = (level - at.to_vec2(), level.width() / 2.0);
            Rect::new(at.x + across.y0, at.y - along, at.x + across.y1, at.y + along)
        };
        let at = ways.into_iter().find(|at| free(room(*at), &taken));
        let (fits, at) = (at.is_some(), at.unwrap_or(ways[0]));
        let room = room(at);
        if fits {
            taken.push(room);
        }
        Number { text, at, fits, room }
    };
    dimensions.iter().map(&mut number).collect()
}

/// Where the words at both ends of each weld stand, the middles of their base lines: under the limits there or
/// above them, and where there is room off the edges of the part. The drawing is so wide, pixels.
pub(crate) fn spread_words(
    marks: &[ForecastMarks],
    dimensions: &[DrawnDimension],
    part: &Part,
    views: &PartViews,
    width: f64,
) -> Vec<[Option<Point>; 2]> {
    let area = Rect::new(0.0, PLAN_NAME + OVER, width, elevation_name(views) - UNDER_PLAN);
    let numbers = numbers(dimensions, part, views);
    let shafts = dimensions.iter().map(|of| thick(of.line.shaft));
    let ellipses = marks.iter().flat_map(|m| &m.ends).map(|end| end.ellipse.bounding_box());
    let mut taken: Vec<_> = numbers.iter().filter(|n| n.fits).map(|n| n.room).collect();
    taken.extend(rings(part, views).chain(shafts).chain(ellipses));
    let mut avoided = edges(part, views);
    avoided.extend(dimensions.iter().flat_map(|of| of.line.witness).map(thick));
    avoided.extend(marks.iter().flat_map(|m| &m.ends).flat_map(|end| end.strip).map(thick));
    let of_weld = |weld: &ForecastMarks| {
        let mut place = |n: usize| {
            let end = &weld.ends[n];
            let text = end.words(weld.tolerance_mm);
            let [a, b] = end.strip.map(|limit| limit.bounding_box());
            let limits = end.ellipse.bounding_box().union(a).union(b);
            let width = text_width(&text, LETTER);
            let outwards = if end.at.x < weld.ends[1 - n].at.x { -1.0 } else { 1.0 };
            let lines = (0..LINES).map(|n| f64::from(n) * line_height(LETTER));
            let ways = lines.flat_map(|by| {
                let sides = [limits.y1 + OFF + 1.55 * LETTER + by, limits.y0 - OFF - by];
                [0.0, 0.5, -0.5].into_iter().flat_map(move |out| {
                    sides.map(|y| Point::new(end.at.x + out * outwards * width, y))
                })
            });
            let ways: Vec<_> = ways.collect();
            let room = |at: &Point| Words::new(&text, *at, "middle").room(LETTER);
            let fits = |at: &&Point| {
                let room = room(at);
                area.union(room) == area && free(room, &taken)
            };
            let all_free = ways.iter().filter(fits).find(|at| free(room(at), &avoided));
            let at = all_free.or_else(|| ways.iter().find(fits)).copied();
            taken.extend(at.iter().map(room));
            at
        };
        [place(0), place(1)]
    };
    marks.iter().map(of_weld).collect()
}

/// The room of a line.
fn thick(line: Line) -> Rect {
    line.bounding_box().inflate(1.0, 1.0)
}

/// The edges of the bodies on the plan, piece by piece.
fn edges(part: &Part, views: &PartViews) -> Vec<Rect> {
    const PIECE: f64 = 5.0;
    let mut pieces = Vec::new();
    for body in part.bodies.iter().chain(&part.clamps) {
        let (mut first, mut last) = (Point::ORIGIN, Point::ORIGIN);
        let mut line = |from: Point, to: Point| {
            let count = (from.distance(to) / PIECE).ceil().max(1.0);
            let at = |n: u32| from.lerp(to, f64::from(n) / count);
            pieces.extend((0..=count as u32).map(|n| Rect::from_center_size(at(n), (2.0, 2.0))));
        };
        let path = body_plan(body, &Pose::identity(), &views.plan);
        flatten(path, 0.5, |element| match element {
            PathEl::MoveTo(to) => (first, last) = (to, to),
            PathEl::LineTo(to) => {
                line(last, to);
                last = to;
            }
            PathEl::ClosePath => line(last, first),
            PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
        });
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::cell::{Draft, Template};
    use nudgeproof::forecast::SeamForecast;
    use nudgeproof::lesson::rehearsed;

    /// A desk; with the study open; windows of 683 × 384 and of a phone.
    const SIZES: [[f64; 2]; 4] = [[1060.0, 720.0], [1020.0, 362.0], [680.0, 188.0], [390.0, 330.0]];

    struct Labels {
        numbers: Vec<Number>,
        words: Vec<Option<Rect>>,
        rings: Vec<Rect>,
    }

    fn labels(template: Template, size: [f64; 2]) -> Labels {
        let draft = Draft::new(template, "Own");
        let part = draft.part().expect("common values");
        let views = PartViews::new(&part, size);
        let session = rehearsed(&part, 0).expect("a part");
        let forecast = SeamForecast::of(session.state());
        let marks = ForecastMarks::all(&forecast, None, &views.plan);
        let marks: Vec<_> = marks.into_iter().flatten().collect();
        let dimensions = views.dimensions(&draft, &part);
        let places = spread_words(&marks, &dimensions, &part, &views, size[0]);
        let words = marks.iter().zip(places).flat_map(|(weld, places)| {
            let words = |n: usize| {
                let text = weld.ends[n].words(weld.tolerance_mm);
                places[n].map(|at| Words::new(&text, at, "middle").room(LETTER))
            };
            [0, 1].map(words)
        });
        Labels {
            numbers: numbers(&dimensions, &part, &views),
            words: words.collect(),
            rings: rings(&part, &views).collect(),
        }
    }

    #[test]
    fn nothing_that_is_written_lies_on_something_else_in_any_window() {
        for size in SIZES {
            for template in Template::ALL {
                let Labels { numbers, words, rings } = labels(*template, size);
                let numbers = numbers.iter().filter(|n| n.fits).map(|n| n.room);
                let written: Vec<_> = numbers.chain(words.into_iter().flatten()).collect();
                for (n, room) in written.iter().enumerate() {
                    let others = [&written[n + 1..], &rings[..]].concat();
                    assert!(free(*room, &others), "{template:?} on {size:?}: {room:?}");
                    let inside = Rect::new(0.0, 0.0, size[0], size[1]).union(*room);
                    assert_eq!([inside.width(), inside.height()], size, "{template:?}");
                }
            }
        }
    }

    #[test]
    fn where_there_is_room_everything_is_written() {
        for template in Template::ALL {
            for size in &SIZES[..2] {
                let Labels { numbers, words, .. } = labels(*template, *size);
                let left_out: Vec<_> = numbers.iter().filter(|n| !n.fits).collect();
                assert!(left_out.is_empty(), "{template:?} on {size:?}: {left_out:?}");
                assert!(words.iter().all(Option::is_some), "{template:?} on {size:?}: {words:?}");
            }
        }
    }
}
