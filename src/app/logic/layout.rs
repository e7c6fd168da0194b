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

/// How large the sheet is drawn, and what stands on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SheetFormat {
    /// Plan over elevation and title block; cards lie on the free right of the plan.
    Desk,
    /// The same for a class: large letters, and no cards.
    Projector,
    /// Plan, elevation and verdict one under the other.
    Phone,
}

impl SheetFormat {
    /// The format for a box of this width, pixels.
    pub(crate) fn of(width: f64, projector: bool) -> Self {
        match () {
            () if width < PHONE => Self::Phone,
            () if projector => Self::Projector,
            () => Self::Desk,
        }
    }

    /// Width of the border strip, which carries the zone letters except on a phone, pixels.
    fn border(self) -> f64 {
        match self {
            Self::Desk => 13.0,
            Self::Projector => 18.0,
            Self::Phone => 5.0,
        }
    }

    /// Height of elevation and title block under the plan, pixels.
    fn strip(self) -> f64 {
        match self {
            Self::Desk => 112.0,
            Self::Projector => 128.0,
            Self::Phone => 62.0,
        }
    }

    /// Width of the title block beside the elevation, as a share of the frame, and the limits of it.
    fn title_width(self, frame: f64) -> f64 {
        match self {
            Self::Desk => (frame * 0.278).clamp(236.0, 320.0),
            Self::Projector => (frame * 0.3).clamp(240.0, 420.0),
            Self::Phone => frame,
        }
    }

    /// Width at the right of the plan that the cards lie on, pixels: the drawing keeps off it.
    fn cards(self) -> f64 {
        match self {
            Self::Desk => CARDS,
            Self::Projector | Self::Phone => 0.0,
        }
    }

    /// Mean width of a letter of a name on the plan, pixels.
    fn letter(self) -> f64 {
        match self {
            Self::Desk | Self::Phone => 5.8,
            Self::Projector => 9.4,
        }
    }
}

/// Where everything stands on the sheet, CSS pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SheetLayout {
    pub(crate) format: SheetFormat,
    pub(crate) width: f64,
    pub(crate) height: f64,
    /// The frame inside the border strip.
    pub(crate) frame: Rect,
    pub(crate) plan: Rect,
    /// The plan without what the cards lie on.
    pub(crate) drawing: Rect,
    pub(crate) elevation: Rect,
    pub(crate) title: Rect,
    /// The magnified detail that is open: offset at the datum corner, weld start or weld end.
    pub(crate) detail: Rect,
    pub(crate) projection: Projection,
    /// Mean width of a letter of a name on the plan, pixels.
    pub(crate) letter: f64,
}

/// A sheet less wide than this is that of a phone, pixels.
const PHONE: f64 = 560.0;
/// Width of the cards with the gaps beside them, pixels.
const CARDS: f64 = 212.0;
/// Height of the verdict on a phone, pixels.
const PHONE_TITLE: f64 = 38.0;
/// Largest size of the detail that is open, pixels.
const DETAIL: [f64; 2] = [320.0, 280.0];
/// Room round the open detail, pixels.
const DETAIL_GAP: f64 = 9.0;
/// Heights up to here are drawn large, mm: part, clamps and touches lie below.
const BREAK_HEIGHT: f64 = 50.0;
/// Share of the elevation for heights below the break.
const LOW_SHARE: f64 = 0.66;

impl SheetLayout {
    /// Lays the sheet out in a box of this size.
    pub(crate) fn new(width: f64, height: f64, bounds: &SheetExtent, format: SheetFormat) -> Self {
        let frame = Rect::new(0.0, 0.0, width, height).inset(-format.border());
        let strip = match format {
            SheetFormat::Phone => format.strip() + PHONE_TITLE,
            SheetFormat::Desk | SheetFormat::Projector => format.strip(),
        };
        let plan = Rect { y1: frame.y1 - strip, ..frame };
        let below = Rect { y0: plan.y1, ..frame };
        let title_width = format.title_width(frame.width());
        let (elevation, title) = match format {
            SheetFormat::Phone => {
                let edge = below.y1 - PHONE_TITLE;
                (Rect { y1: edge, ..below }, Rect { y0: edge, ..below })
            }
            SheetFormat::Desk | SheetFormat::Projector => {
                let edge = below.x1 - title_width;
                (Rect { x1: edge, ..below }, Rect { x0: edge, ..below })
            }
        };
        let drawing = Rect { x1: plan.x1 - format.cards(), ..plan };
        let [width_most, height_most] = DETAIL;
        let detail = Rect {
            x0: (drawing.x1 - width_most).max(drawing.x0) + DETAIL_GAP,
            y0: (drawing.y1 - height_most).max(drawing.y0 + drawing.height() * 0.35),
            x1: drawing.x1 - DETAIL_GAP,
            y1: drawing.y1 - DETAIL_GAP,
        };
        Self {
            format,
            width,
            height,
            frame,
            plan,
            drawing,
            elevation,
            title,
            detail,
            projection: projection(bounds, &drawing, &elevation),
            letter: format.letter(),
        }
    }

    /// One column for everything, as on a phone.
    pub(crate) fn narrow(&self) -> bool {
        self.format == SheetFormat::Phone
    }
}

/// A part so many times longer than deep is drawn where the elevation, which ends at the title block,
/// shows its right end as well.
const LONG: f64 = 2.5;
/// Width of the heights at the right of the elevation, pixels.
const HEIGHTS: f64 = 40.0;

fn projection(bounds: &SheetExtent, plan: &Rect, elevation: &Rect) -> Projection {
    let long = bounds.width() > LONG * bounds.depth() && elevation.x1 < plan.x1;
    let plan = &Rect { x1: if long { elevation.x1 - HEIGHTS } else { plan.x1 }, ..*plan };
    let scale = (plan.width() / bounds.width()).min(plan.height() / bounds.depth());
    let middle = Point2::new(
        f64::midpoint(bounds.x[0], bounds.x[1]),
        f64::midpoint(bounds.y[0], bounds.y[1]),
    );
    let usable = elevation.height() - 26.0;
    Projection {
        plan: PlanProjection::new(scale, middle, plan.center()),
        elevation: ElevationProjection {
            scale,
            x_zero: plan.center().x - middle.x * scale,
            table: elevation.y1 - 14.0,
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

    /// A sheet at a desk, on a projector and on a phone.
    fn sheets() -> [SheetLayout; 4] {
        [
            (1072.0, 690.0, SheetFormat::Desk),
            (730.0, 690.0, SheetFormat::Desk),
            (842.0, 768.0, SheetFormat::Projector),
            (390.0, 400.0, SheetFormat::Phone),
        ]
        .map(|(w, h, format)| SheetLayout::new(w, h, &BENCH, format))
    }

    #[test]
    fn everything_shown_falls_inside_its_view() {
        for l in sheets() {
            for (x, y) in [(-190.0, -210.0), (510.0, 360.0)] {
                let s = l.projection.plan.point(&Point3::new(x, y, 0.0));
                let inside = nearest(&l.plan, s);
                assert!(s.distance(inside) < 1e-6, "{:?}: {x} {y} at {s:?}", l.format);
            }
            for z in [0.0, 220.0] {
                let y = l.projection.elevation.height(z);
                let within = y >= l.elevation.y0 && y <= l.elevation.y1;
                assert!(within, "{:?}: height {z} at {y}", l.format);
            }
        }
    }

    #[test]
    fn at_a_desk_the_drawing_keeps_off_the_cards() {
        let [desk, ..] = sheets();
        let east = desk.projection.plan.point(&Point3::new(510.0, 0.0, 0.0));
        assert!(east.x <= desk.plan.x1 - CARDS + 1e-6, "it ends at {}", east.x);
    }

    #[test]
    fn a_long_part_is_seen_whole_in_the_elevation() {
        let frame = SheetExtent { x: [-190.0, 2110.0], y: [-210.0, 470.0], z_top: 290.0 };
        let desk = SheetLayout::new(1072.0, 690.0, &frame, SheetFormat::Desk);
        let east = desk.projection.plan.point(&Point3::new(2110.0, 0.0, 0.0));
        assert!(east.x <= desk.elevation.x1 - HEIGHTS + 1e-6, "it ends at {}", east.x);
    }

    #[test]
    fn plan_elevation_and_title_block_fill_the_frame() {
        for l in sheets() {
            let area = l.plan.area() + l.elevation.area() + l.title.area();
            assert!((area - l.frame.area()).abs() < 1e-6, "{:?}: {area}", l.format);
            assert!(l.plan.contains(l.detail.origin()), "{:?}: {:?}", l.format, l.detail);
        }
    }

    #[test]
    fn the_plan_has_its_share_of_the_window() {
        let [desk, _, projector, _] = sheets();
        assert!(desk.plan.area() / (1366.0 * 768.0) > 0.55, "at a desk");
        assert!(projector.plan.area() / (1024.0 * 768.0) > 0.6, "on a projector");
    }
}
