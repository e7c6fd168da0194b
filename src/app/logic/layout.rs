use super::projection::{ElevationProjection, PlanProjection, Projection};
use kurbo::{Point, Rect};
use nudgeproof::cell::Part;
use nudgeproof::geometry::Point2;

/// The point of a rectangle that is nearest to this one.
pub(crate) fn nearest(rect: &Rect, to: Point) -> Point {
    Point::new(to.x.clamp(rect.x0, rect.x1), to.y.clamp(rect.y0, rect.y1))
}

/// What the sheet shows of the work frame, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SheetExtent {
    x: [f64; 2],
    y: [f64; 2],
    z_top: f64,
}

/// Room left round part, clamps and the way home, mm.
const MARGIN: f64 = 28.0;
/// Room above the torch at rest for stick-out, nozzle and the text beside them, mm.
const HEADROOM: f64 = 90.0;

impl SheetExtent {
    /// Part, clamps, wire cutter and the torch at rest, with a margin.
    pub(crate) fn of(part: &Part) -> Self {
        let corners = part
            .bodies
            .iter()
            .chain(&part.clamps)
            .flat_map(|b| b.outline.corners.iter().map(|c| [c.at.x, c.at.y]))
            .chain([part.rest, part.cutter()].map(|p| [p.x, p.y]))
            .chain(part.model_touches.iter().map(|m| [m.from.x, m.from.y]));
        let (mut x, mut y) = ([f64::MAX, f64::MIN], [f64::MAX, f64::MIN]);
        for c in corners {
            x = [x[0].min(c[0]), x[1].max(c[0])];
            y = [y[0].min(c[1]), y[1].max(c[1])];
        }
        let tops = part.bodies.iter().chain(&part.clamps).map(|b| b.z[1]);
        let z_top = tops.fold(part.rest.z.max(part.cutter().z), f64::max) + HEADROOM;
        Self { x: [x[0] - MARGIN, x[1] + MARGIN], y: [y[0] - MARGIN, y[1] + MARGIN], z_top }
    }

    fn width(&self) -> f64 {
        self.x[1] - self.x[0]
    }

    fn depth(&self) -> f64 {
        self.y[1] - self.y[0]
    }
}

/// Where everything stands on the sheet, CSS pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SheetLayout {
    pub(crate) width: f64,
    pub(crate) height: f64,
    /// The frame inside the border strip.
    pub(crate) frame: Rect,
    pub(crate) plan: Rect,
    pub(crate) elevation: Rect,
    pub(crate) title: Rect,
    /// The magnified details: offset at the datum corner, weld start, weld end.
    pub(crate) details: [Rect; 3],
    pub(crate) projection: Projection,
    /// One column for everything, as on a phone.
    pub(crate) narrow: bool,
    /// Mean width of a letter of a name on the plan, pixels.
    pub(crate) letter: f64,
}

/// Width of the border strip, which carries the zone letters, pixels.
const BORDER: f64 = 16.0;
/// The same on a narrow sheet, without zone letters.
const NARROW_BORDER: f64 = 6.0;
/// A sheet less wide than this has title block and details under the views, pixels.
const NARROW: f64 = 560.0;
/// Heights up to here are drawn large, mm: part, clamps and touches lie below.
const BREAK_HEIGHT: f64 = 50.0;
/// Share of the elevation for heights below the break.
const LOW_SHARE: f64 = 0.66;

fn rect(x: f64, y: f64, width: f64, height: f64) -> Rect {
    Rect::from_origin_size((x, y), (width, height))
}

impl SheetLayout {
    /// Lays the sheet out in a box of this size; a narrow sheet takes the height it needs.
    pub(crate) fn new(width: f64, height: f64, bounds: &SheetExtent) -> Self {
        if width < NARROW {
            Self::narrow(width, bounds)
        } else {
            Self::wide(width, height, bounds, false)
        }
    }

    /// The same for a projector: details and title block take more of the sheet.
    pub(crate) fn projected(width: f64, height: f64, bounds: &SheetExtent) -> Self {
        Self::wide(width, height, bounds, true)
    }

    fn wide(width: f64, height: f64, bounds: &SheetExtent, large: bool) -> Self {
        let frame = rect(0.0, 0.0, width, height).inflate(-BORDER, -BORDER);
        let share = if large { 0.38 } else { 0.27 };
        let column = (frame.width() * share).clamp(176.0, if large { 420.0 } else { 300.0 });
        let views = frame.width() - column;
        let elevation_height = (frame.height() * 0.24).clamp(96.0, 240.0);
        let plan = rect(frame.x0, frame.y0, views, frame.height() - elevation_height);
        let elevation = rect(frame.x0, plan.y1, views, elevation_height);
        let title_height = (frame.height() * if large { 0.42 } else { 0.34 })
            .clamp(178.0, if large { 330.0 } else { 250.0 });
        let title = rect(plan.x1, frame.y1 - title_height, column, title_height);
        let each = (frame.height() - title_height) / 3.0;
        let details = [0.0, 1.0, 2.0].map(|i| rect(title.x0, frame.y0 + i * each, column, each));
        Self {
            width,
            height,
            frame,
            plan,
            elevation,
            title,
            details,
            projection: projection(bounds, &plan, &elevation),
            narrow: false,
            letter: if large { 7.6 } else { 5.8 },
        }
    }

    fn narrow(width: f64, bounds: &SheetExtent) -> Self {
        let (left, inside) = (NARROW_BORDER, width - 2.0 * NARROW_BORDER);
        let plan = rect(left, NARROW_BORDER, inside, inside * bounds.depth() / bounds.width());
        let elevation = rect(left, plan.y1, inside, 112.0);
        let each = inside / 3.0;
        let details = [0.0, 1.0, 2.0].map(|i| rect(left + i * each, elevation.y1, each, each));
        let title = rect(left, details[0].y1, inside, 152.0);
        let height = title.y1 + NARROW_BORDER;
        Self {
            width,
            height,
            frame: rect(0.0, 0.0, width, height).inflate(-NARROW_BORDER, -NARROW_BORDER),
            plan,
            elevation,
            title,
            details,
            projection: projection(bounds, &plan, &elevation),
            narrow: true,
            letter: 5.8,
        }
    }
}

fn projection(bounds: &SheetExtent, plan: &Rect, elevation: &Rect) -> Projection {
    let scale = (plan.width() / bounds.width()).min(plan.height() / bounds.depth());
    let middle = Point2::new(
        f64::midpoint(bounds.x[0], bounds.x[1]),
        f64::midpoint(bounds.y[0], bounds.y[1]),
    );
    let usable = elevation.height() - 34.0;
    Projection {
        plan: PlanProjection::new(scale, middle, plan.center()),
        elevation: ElevationProjection {
            scale,
            x_zero: plan.center().x - middle.x * scale,
            table: elevation.y1 - 18.0,
            low_scale: usable * LOW_SHARE / BREAK_HEIGHT,
            high_scale: usable * (1.0 - LOW_SHARE) / (bounds.z_top - BREAK_HEIGHT).max(1.0),
            break_height: BREAK_HEIGHT,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::geometry::Point3;

    const BENCH: SheetExtent = SheetExtent { x: [-190.0, 510.0], y: [-210.0, 360.0], z_top: 220.0 };

    #[test]
    fn everything_shown_falls_inside_its_view() {
        for (w, h) in [(720.0, 600.0), (640.0, 480.0), (374.0, 0.0), (1100.0, 800.0)] {
            let l = SheetLayout::new(w, h, &BENCH);
            for (x, y) in [(-190.0, -210.0), (510.0, 360.0)] {
                let s = l.projection.plan.point(&Point3::new(x, y, 0.0));
                let inside = nearest(&l.plan, s);
                assert!(
                    s.distance(inside) < 1e-6,
                    "{w}×{h}: {x} {y} at {s:?} outside {:?}",
                    l.plan
                );
            }
            for z in [0.0, 220.0] {
                let y = l.projection.elevation.height(z);
                assert!(y >= l.elevation.y0 && y <= l.elevation.y1, "{w}×{h}: height {z} at {y}");
            }
        }
    }

    #[test]
    fn nothing_overlaps_the_title_block() {
        for (w, h) in [(720.0, 600.0), (374.0, 0.0), (620.0, 460.0)] {
            let l = SheetLayout::new(w, h, &BENCH);
            for r in l.details.iter().chain([&l.plan, &l.elevation]) {
                let apart = r.x1 <= l.title.x0 + 0.01
                    || r.y1 <= l.title.y0 + 0.01
                    || r.x0 >= l.title.x1 - 0.01;
                assert!(apart, "{w}×{h}: {r:?} over the title block {:?}", l.title);
            }
            assert!(l.title.y1 <= l.height, "{w}×{h}: the title block leaves the sheet");
        }
    }
}
