//! Where plan and elevation of a part of one's own stand, and where its dimensions are drawn.

use super::dimension::Dimension as DimensionLine;
use super::projection::{ElevationProjection, PlanProjection};
use kurbo::{Point, Rect, Vec2};
use nudgeproof::cell::{Dimension as D, Draft, Part, Template as T};
use nudgeproof::geometry::{Point2, Point3};

/// Room for two rows of dimension lines left of and under the plan, and for names above it, pixels.
const ROWS: f64 = 74.0;
const ABOVE: f64 = 26.0;
const RIGHT: f64 = 64.0;
/// From the drawing to the first row, and from row to row, pixels.
const FIRST: f64 = 34.0;
const ROW: f64 = 22.0;
/// The same of heights, whose numbers stand beside them.
const HEIGHTS_FIRST: f64 = 20.0;
const HEIGHTS: f64 = 40.0;
/// The elevation takes this share of the height, at most so many pixels.
const ELEVATION: f64 = 0.26;
const ELEVATION_MOST: f64 = 150.0;
/// From the table line to the lower edge of the drawing, pixels.
const UNDER_TABLE: f64 = 16.0;

/// By so much a dimension is changed to see which way it goes, mm.
const STEP: f64 = 0.5;

/// Both views.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PartViews {
    pub(crate) plan: PlanProjection,
    pub(crate) elevation: ElevationProjection,
    /// What is drawn on the plan, pixels.
    drawn: Rect,
}

/// Where the number of a dimension stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NumberPlace {
    /// Over its line.
    Above,
    /// Along an upright line, read from the right (ISO 129-1).
    Turned,
    /// To the right of a line that is short.
    Right,
}

/// A dimension where it is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DrawnDimension {
    pub(crate) dimension: D,
    /// mm.
    pub(crate) value: f64,
    pub(crate) line: DimensionLine,
    /// Where its number stands.
    pub(crate) number: NumberPlace,
}

impl PartViews {
    /// On a drawing of this size, pixels.
    pub(crate) fn new(part: &Part, [width, height]: [f64; 2]) -> Self {
        let bodies = part.bodies.iter().chain(&part.clamps).map(|body| body.outline.bounds());
        let starts = part.model_touches.iter().map(|t| (t.from.xy(), t.from.xy()));
        let all = bodies.chain(starts).map(|(lo, hi)| Rect::new(lo.x, lo.y, hi.x, hi.y));
        let shown = all.reduce(|a, b| a.union(b)).unwrap_or(Rect::new(0.0, 0.0, 100.0, 100.0));
        let low_room = (height * ELEVATION).min(ELEVATION_MOST);
        let room = [width - ROWS - RIGHT, height - low_room - ABOVE - ROWS];
        let scale = (room[0] / shown.width()).min(room[1] / shown.height()).max(0.01);
        let middle = Point2::new(shown.center().x, shown.center().y);
        let at = Point::new(ROWS + room[0] / 2.0, ABOVE + room[1] / 2.0);
        let plan = PlanProjection::new(scale, middle, at);
        let corner = |x, y| plan.point(&Point3::new(x, y, 0.0));
        let tops = part.bodies.iter().chain(&part.clamps).map(|body| body.z[1]);
        let top = tops.fold(1.0, f64::max);
        let up = ((low_room - UNDER_TABLE - ABOVE) / top).min(scale * 3.0).max(0.01);
        let elevation = ElevationProjection {
            scale,
            x_zero: corner(0.0, 0.0).x,
            table: height - UNDER_TABLE,
            low_scale: up,
            high_scale: up,
            break_height: top,
        };
        let drawn = Rect::from_points(corner(shown.x0, shown.y0), corner(shown.x1, shown.y1));
        Self { plan, elevation, drawn }
    }

    /// Which way, and how many pixels, the end of a dimension goes that moves when it gets 1 mm longer.
    pub(crate) fn pull(&self, draft: &Draft, dimension: D) -> Option<Vec2> {
        let heads = |more: f64| {
            let mut draft = draft.clone();
            draft.set(dimension, draft.value(dimension) + more);
            let all = self.dimensions(&draft, &draft.part().ok()?);
            all.into_iter().find(|d| d.dimension == dimension).map(|d| d.line.heads.map(|h| h.a))
        };
        let now = heads(0.0)?;
        // At a limit it can only get shorter.
        [STEP, -STEP].into_iter().find_map(|step| {
            let then = heads(step)?;
            let ways = [0, 1].map(|end| (then[end] - now[end]) / step);
            ways.into_iter().max_by(|a, b| a.length().total_cmp(&b.length()))
        })
    }

    /// The dimensions of a draft that can be made into a part.
    pub(crate) fn dimensions(&self, draft: &Draft, part: &Part) -> Vec<DrawnDimension> {
        use NumberPlace::{Above, Right, Turned};
        let v = |d| draft.value(d);
        let at = |x: f64, y: f64| self.plan.point(&Point3::new(x, y, 0.0));
        let below = |row: f64| self.drawn.y1 + FIRST + row * ROW;
        let beside = |row: f64| self.drawn.x0 - FIRST - row * ROW;
        let (length, front) = (v(D::Length), v(D::PieceFromFront));
        let left = v(D::PieceFromLeft);
        let right = left + v(D::PieceLength);
        let mut all = Vec::new();
        let mut add = |dimension, line: Option<DimensionLine>, number| {
            let value = v(dimension);
            all.extend(line.map(|line| DrawnDimension { dimension, value, line, number }));
        };
        let along_x = |from: f64, to: f64, row: f64| {
            DimensionLine::new(at(from, 0.0), at(to, 0.0), below(row), false)
        };
        let along_y = |from: f64, to: f64, row: f64| {
            DimensionLine::new(at(0.0, from), at(0.0, to), beside(row), true)
        };
        add(D::Length, along_x(0.0, length, 1.0), Above);
        if draft.template == T::Butt {
            add(D::BarWidth, along_y(0.0, v(D::BarWidth), 0.0), Turned);
            add(D::Gap, along_y(v(D::BarWidth), v(D::BarWidth) + v(D::Gap), 1.0), Turned);
        } else {
            add(D::Width, along_y(0.0, v(D::Width), 1.0), Turned);
            add(D::PieceFromLeft, along_x(0.0, left, 0.0), Above);
            add(D::PieceLength, along_x(left, right, 0.0), Above);
        }
        match draft.template {
            T::Frame => add(D::MemberWidth, along_y(0.0, v(D::MemberWidth), 0.0), Turned),
            T::Butt => {}
            T::Rail | T::Tube => add(D::PieceFromFront, along_y(0.0, front, 0.0), Turned),
            T::Angle | T::Lap => {
                add(D::PieceFromFront, along_y(0.0, front, 0.0), Turned);
                add(D::PieceWidth, along_y(front, front + v(D::PieceWidth), 0.0), Turned);
            }
        }
        if draft.template == T::Tube {
            add(D::HoleFromRight, along_x(length - v(D::HoleFromRight), length, 0.0), Above);
        }
        // Heights, at the right end of the elevation.
        let side = |x: f64, z: f64| self.elevation.point(&Point3::new(x, 0.0, z));
        let level = |row: f64| side(length, 0.0).x + HEIGHTS_FIRST + row * HEIGHTS;
        let height = |x, [low, high]: [f64; 2], row| {
            DimensionLine::new(side(x, low), side(x, high), level(row), true)
        };
        let base = &part.bodies[usize::from(draft.template == T::Butt)];
        add(D::Thickness, height(length, base.z, 0.0), Right);
        if draft.template != T::Butt && draft.template != T::Lap {
            let top = [base.z[1], base.z[1] + v(D::PieceHeight)];
            add(D::PieceHeight, height(right, top, 1.0), Right);
        }
        if draft.template == T::Lap {
            let top = [base.z[1], base.z[1] + v(D::PieceThickness)];
            add(D::PieceThickness, height(right, top, 1.0), Right);
        }
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pulled_end_goes_the_way_its_dimension_grows() {
        for template in T::ALL {
            let draft = Draft::new(*template, "Own");
            let part = draft.part().expect("common values");
            let views = PartViews::new(&part, [1060.0, 720.0]);
            for DrawnDimension { dimension, line, .. } in views.dimensions(&draft, &part) {
                let pull = views.pull(&draft, dimension).expect("it can get longer or shorter");
                let [a, b] = line.heads.map(|head| head.a);
                let along = (b - a).normalize();
                let straight = pull.dot(along).abs() > 0.999 * pull.length();
                assert!(straight && pull.length() > 0.1, "{template:?}, {dimension:?}: {pull:?}");
                let leftwards = dimension == D::HoleFromRight;
                let grows = if leftwards { pull.x < 0.0 } else { pull.x > 0.0 || pull.y < 0.0 };
                assert!(grows, "{template:?}, {dimension:?}: {pull:?}");
            }
        }
    }

    #[test]
    fn every_dimension_line_stands_on_the_drawing_and_measures_what_it_says() {
        for size in [[1060.0, 720.0], [390.0, 400.0]] {
            for template in T::ALL {
                let draft = Draft::new(*template, "Own");
                let part = draft.part().expect("common values");
                let views = PartViews::new(&part, size);
                let all = views.dimensions(&draft, &part);
                assert!(all.len() >= 4, "{template:?}: {all:?}");
                for DrawnDimension { dimension, value, line, number } in all {
                    let [a, b] = line.heads.map(|head| head.a);
                    let heights = [D::Thickness, D::PieceHeight, D::PieceThickness];
                    let scale = if heights.contains(&dimension) {
                        views.elevation.low_scale
                    } else {
                        views.plan.scale
                    };
                    let measured = a.distance(b) / scale;
                    assert!((measured - value).abs() < 1e-6, "{template:?}, {dimension:?}");
                    for at in [a, b, line.text] {
                        let inside = at.x > 0.0 && at.x < size[0] && at.y > 0.0 && at.y < size[1];
                        assert!(inside, "{template:?}, {dimension:?}, {number:?}: {at:?}");
                    }
                }
            }
        }
    }
}
