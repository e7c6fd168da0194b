use super::projection::{Projection, ScreenPoint};
use nudgeproof::cell::Part;

/// An upright rectangle on the sheet, pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rect {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) w: f64,
    pub(crate) h: f64,
}

impl Rect {
    pub(crate) fn new(x: f64, y: f64, w: f64, h: f64) -> Self {
        Self { x, y, w, h }
    }

    pub(crate) fn right(&self) -> f64 {
        self.x + self.w
    }

    pub(crate) fn bottom(&self) -> f64 {
        self.y + self.h
    }

    /// Its middle.
    pub(crate) fn middle(&self) -> ScreenPoint {
        ScreenPoint::new(self.x + self.w / 2.0, self.y + self.h / 2.0)
    }

    /// Whether the two have more than an edge in common.
    pub(crate) fn overlaps(&self, other: &Self) -> bool {
        self.x < other.right()
            && other.x < self.right()
            && self.y < other.bottom()
            && other.y < self.bottom()
    }

    /// The nearest place inside.
    pub(crate) fn clamp(&self, s: ScreenPoint) -> ScreenPoint {
        ScreenPoint::new(s.x.clamp(self.x, self.right()), s.y.clamp(self.y, self.bottom()))
    }
}

/// What of the work frame the sheet shows, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bounds {
    pub(crate) x: [f64; 2],
    pub(crate) y: [f64; 2],
    pub(crate) z_top: f64,
}

/// Room left round part, clamps and the way home, mm.
const MARGIN: f64 = 28.0;
/// Room above the torch at rest: stick-out, nozzle and what is written beside them, mm.
const HEADROOM: f64 = 90.0;

impl Bounds {
    /// Part, clamps and the torch at rest, with a margin.
    pub(crate) fn of(part: &Part) -> Self {
        let corners = part
            .bodies
            .iter()
            .chain(&part.clamps)
            .flat_map(|b| b.outline.corners.iter().map(|c| [c.at.x, c.at.y]))
            .chain([[part.rest.x, part.rest.y]])
            .chain(part.model_touches.iter().map(|m| [m.from.x, m.from.y]));
        let (mut x, mut y) = ([f64::MAX, f64::MIN], [f64::MAX, f64::MIN]);
        for c in corners {
            x = [x[0].min(c[0]), x[1].max(c[0])];
            y = [y[0].min(c[1]), y[1].max(c[1])];
        }
        let tops = part.bodies.iter().chain(&part.clamps).map(|b| b.z[1]);
        let z_top = tops.fold(part.rest.z, f64::max) + HEADROOM;
        Self { x: [x[0] - MARGIN, x[1] + MARGIN], y: [y[0] - MARGIN, y[1] + MARGIN], z_top }
    }

    fn width(&self) -> f64 {
        self.x[1] - self.x[0]
    }

    fn depth(&self) -> f64 {
        self.y[1] - self.y[0]
    }
}

/// Where everything stands on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Layout {
    pub(crate) width: f64,
    pub(crate) height: f64,
    /// The frame inside the border strip.
    pub(crate) frame: Rect,
    pub(crate) plan: Rect,
    pub(crate) side: Rect,
    pub(crate) title: Rect,
    /// The magnified details: offset at the datum, weld start, weld end.
    pub(crate) details: [Rect; 3],
    pub(crate) projection: Projection,
    /// One column for everything, as on a phone.
    pub(crate) narrow: bool,
    /// How wide a letter of a name on the plan is, about, pixels.
    pub(crate) letter: f64,
}

/// Strip of the border that carries the zone letters, pixels.
const BORDER: f64 = 16.0;
/// A sheet less wide than this puts title block and details under the views.
const NARROW: f64 = 560.0;
/// Heights up to here are drawn large, mm: part, clamps and probing lie below.
const KNEE: f64 = 50.0;
/// Share of the elevation given to heights below the break_height.
const LOW_SHARE: f64 = 0.66;

impl Layout {
    /// Lays the sheet out in a box of this size; a narrow sheet takes the height it needs.
    pub(crate) fn new(width: f64, height: f64, bounds: &Bounds) -> Self {
        if width < NARROW {
            Self::narrow(width, bounds)
        } else {
            Self::wide(width, height, bounds, false)
        }
    }

    /// The same for a projector: details and title block take more of the sheet.
    pub(crate) fn projected(width: f64, height: f64, bounds: &Bounds) -> Self {
        Self::wide(width, height, bounds, true)
    }

    fn wide(width: f64, height: f64, bounds: &Bounds, large: bool) -> Self {
        let frame = Rect::new(BORDER, BORDER, width - 2.0 * BORDER, height - 2.0 * BORDER);
        let share = if large { 0.38 } else { 0.27 };
        let column = (frame.w * share).clamp(176.0, if large { 420.0 } else { 300.0 });
        let views = frame.w - column;
        let side_h = (frame.h * 0.24).clamp(96.0, 240.0);
        let plan = Rect::new(frame.x, frame.y, views, frame.h - side_h);
        let side = Rect::new(frame.x, plan.bottom(), views, side_h);
        let title_h = (frame.h * if large { 0.42 } else { 0.34 })
            .clamp(178.0, if large { 330.0 } else { 250.0 });
        let title = Rect::new(plan.right(), frame.bottom() - title_h, column, title_h);
        let each = (frame.h - title_h) / 3.0;
        let details = [0.0, 1.0, 2.0].map(|i| Rect::new(title.x, frame.y + i * each, column, each));
        let projection = projection(bounds, &plan, &side);
        Self {
            width,
            height,
            frame,
            plan,
            side,
            title,
            details,
            projection,
            narrow: false,
            letter: if large { 7.6 } else { 5.8 },
        }
    }

    fn narrow(width: f64, bounds: &Bounds) -> Self {
        let border = 6.0;
        let w = width - 2.0 * border;
        let plan = Rect::new(border, border, w, w * bounds.depth() / bounds.width());
        let side = Rect::new(border, plan.bottom(), w, 112.0);
        let each = w / 3.0;
        let details =
            [0.0, 1.0, 2.0].map(|i| Rect::new(border + i * each, side.bottom(), each, each));
        let title = Rect::new(border, details[0].bottom(), w, 152.0);
        let height = title.bottom() + border;
        let frame = Rect::new(border, border, w, height - 2.0 * border);
        let projection = projection(bounds, &plan, &side);
        Self {
            width,
            height,
            frame,
            plan,
            side,
            title,
            details,
            projection,
            narrow: true,
            letter: 5.8,
        }
    }
}

fn projection(bounds: &Bounds, plan: &Rect, side: &Rect) -> Projection {
    let scale = (plan.w / bounds.width()).min(plan.h / bounds.depth());
    let mid_x = f64::midpoint(bounds.x[0], bounds.x[1]);
    let mid_y = f64::midpoint(bounds.y[0], bounds.y[1]);
    let usable = side.h - 34.0;
    Projection {
        scale,
        x_zero: plan.x + plan.w / 2.0 - mid_x * scale,
        y_zero: plan.y + plan.h / 2.0 + mid_y * scale,
        z_zero: side.bottom() - 18.0,
        z_low: usable * LOW_SHARE / KNEE,
        z_high: usable * (1.0 - LOW_SHARE) / (bounds.z_top - KNEE).max(1.0),
        break_height: KNEE,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BENCH: Bounds = Bounds { x: [-190.0, 510.0], y: [-210.0, 360.0], z_top: 220.0 };

    #[test]
    fn everything_shown_falls_inside_its_view() {
        for (w, h) in [(720.0, 600.0), (640.0, 480.0), (374.0, 0.0), (1100.0, 800.0)] {
            let l = Layout::new(w, h, &BENCH);
            for (x, y) in [(-190.0, -210.0), (510.0, 360.0)] {
                let s = l.projection.plan_xy(x, y);
                let inside = l.plan.clamp(s);
                assert!(
                    s.distance(inside) < 1e-6,
                    "{w}×{h}: {x} {y} at {s:?} outside {:?}",
                    l.plan
                );
            }
            for z in [0.0, 220.0] {
                let s = l.projection.side_xz(0.0, z);
                assert!(s.y >= l.side.y && s.y <= l.side.bottom(), "{w}×{h}: height {z} at {s:?}");
            }
        }
    }

    #[test]
    fn nothing_overlaps_the_title_block() {
        for (w, h) in [(720.0, 600.0), (374.0, 0.0), (620.0, 460.0)] {
            let l = Layout::new(w, h, &BENCH);
            for r in l.details.iter().chain([&l.plan, &l.side]) {
                let apart = r.right() <= l.title.x + 0.01
                    || r.bottom() <= l.title.y + 0.01
                    || r.x >= l.title.right() - 0.01;
                assert!(apart, "{w}×{h}: {r:?} over the title block {:?}", l.title);
            }
            assert!(l.title.bottom() <= l.height, "{w}×{h}: the title block leaves the sheet");
        }
    }
}
