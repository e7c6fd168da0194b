//! The torch as drawn from above and from the front, pixels about the place where the tip of a
//! straight wire of the taught length is drawn. Only this place changes from frame to frame, and
//! its lean where it comes to a weld or leaves one.

use super::projection::{PlanProjection, Projection};
use super::svg_path::hundredth;
use kurbo::{BezPath, Line, Point, Rect, Vec2};
use nudgeproof::cell::{CellSettings, Wire};
use nudgeproof::geometry::{Point3, Vector3};

/// A torch that is to be drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DrawnTorch {
    pub(crate) settings: CellSettings,
    /// Its wire as it is.
    pub(crate) wire: Wire,
    /// Its axis from the wire tip up, work frame, unit length.
    pub(crate) axis: Vector3<f64>,
}

impl DrawnTorch {
    /// From the tip of a straight wire of the taught length to the middle of the nozzle's rim, mm.
    fn to_rim(self) -> Vector3<f64> {
        self.axis * self.settings.stick_out_mm
    }

    /// From there to the tip of the wire as it is, mm. The nozzle stands where it stood when the
    /// points were taught.
    fn to_tip(self) -> Vector3<f64> {
        self.wire.bend - self.axis * (self.wire.stick_out_mm - self.settings.stick_out_mm)
    }
}

/// The torch from above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TorchAbove {
    /// Radius of the nozzle.
    pub(crate) nozzle: f64,
    /// The middle of its rim.
    pub(crate) rim: Point,
    /// The tip of the wire, as long and as bent as it is.
    pub(crate) tip: Point,
}

/// The least radius the nozzle is drawn with, pixels.
const LEAST_RADIUS: f64 = 7.0;

impl TorchAbove {
    pub(crate) fn new(torch: DrawnTorch, plan: &PlanProjection) -> Self {
        Self {
            nozzle: plan.px(torch.settings.nozzle_mm / 2.0).max(LEAST_RADIUS),
            rim: plan.vector(&torch.to_rim()).to_point(),
            tip: plan.vector(&torch.to_tip()).to_point(),
        }
    }

    /// Four marks across the rim of the nozzle.
    pub(crate) fn cross(&self) -> [Line; 4] {
        [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)].map(|(x, y)| {
            let at = |r: f64| self.rim + Vec2::new(x * r, y * r);
            Line::new(at(self.nozzle), at(self.nozzle + 5.0))
        })
    }
}

/// The torch from the front, to the hundredth of a pixel: heights are drawn to two scales, so its
/// shape changes where it crosses from one to the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TorchFront {
    /// The middle of the rim of the nozzle.
    rim: Point,
    /// The tip of the wire, as long and as bent as it is.
    pub(crate) tip: Point,
    /// Half the width of the nozzle.
    half: f64,
}

/// The least half width the nozzle is drawn with, pixels.
const LEAST_HALF: f64 = 6.0;
/// Height of the nozzle, pixels.
const NOZZLE_HEIGHT: f64 = 16.0;

impl TorchFront {
    pub(crate) fn new(at: &Point3<f64>, torch: DrawnTorch, projection: &Projection) -> Self {
        let view = &projection.elevation;
        let place = view.point(at);
        let seen = |by: Vector3<f64>| {
            let v = view.point(&(at + by)) - place;
            Point::new(hundredth(v.x), hundredth(v.y))
        };
        Self {
            rim: seen(torch.to_rim()),
            tip: seen(torch.to_tip()),
            half: view.px(torch.settings.nozzle_mm / 2.0).max(LEAST_HALF),
        }
    }

    /// Unit vector along the torch, away from its tip.
    fn up(&self) -> Vec2 {
        let v = self.rim.to_vec2();
        if v.hypot() > 1.0 { v.normalize() } else { Vec2::new(0.0, -1.0) }
    }

    /// Where the height of the torch is written.
    pub(crate) fn label(&self) -> Point {
        Point::new(self.tip.x + self.half + 6.0, (self.rim.y - 4.0).min(self.tip.y - 2.0))
    }

    /// The middle of the upper end of the nozzle.
    fn top(&self) -> Point {
        self.rim + self.up() * NOZZLE_HEIGHT
    }

    /// The nozzle, narrower at its top.
    pub(crate) fn nozzle(&self) -> [Point; 4] {
        let across = self.up().turn_90() * self.half;
        let (rim, top) = (self.rim, self.top());
        [rim - across, top - across * 0.7, top + across * 0.7, rim + across]
    }

    /// The wire, from the rim to its tip.
    pub(crate) fn wire(&self) -> BezPath {
        let along = self.up().dot(self.tip - self.rim);
        let mut path = BezPath::new();
        path.move_to(self.rim);
        path.quad_to(self.rim + self.up() * along, self.tip);
        path
    }

    /// The area that takes a press.
    pub(crate) fn target(&self) -> Rect {
        let top = self.top().y;
        let height = (self.tip.y - top + 20.0).max(44.0);
        Rect::from_origin_size((self.tip.x - 22.0, top - 10.0), (44.0, height))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::layout::{SheetExtent, SheetFormat, SheetLayout};
    use nudgeproof::cell::first_part;

    fn views() -> Projection {
        let part = first_part();
        SheetLayout::new(720.0, 600.0, &SheetExtent::of(&part), SheetFormat::of(720.0, false))
            .projection
    }

    fn torch(axis: Vector3<f64>) -> DrawnTorch {
        let settings = CellSettings::default();
        DrawnTorch { settings, wire: Wire::straight(settings.stick_out_mm), axis }
    }

    #[test]
    fn an_upright_torch_stands_over_its_tip() {
        let (views, upright) = (views(), torch(Vector3::z()));
        let above = TorchAbove::new(upright, &views.plan);
        assert_eq!((above.rim, above.tip), (Point::ORIGIN, Point::ORIGIN), "from above");
        let front = TorchFront::new(&Point3::new(0.0, 0.0, 5.0), upright, &views);
        assert_eq!((front.rim.x, front.tip), (0.0, Point::ORIGIN), "from the front");
        assert!(front.rim.y < 0.0, "its nozzle above");
    }

    #[test]
    fn a_torch_that_leans_keeps_its_tip() {
        let (views, leaning) = (views(), torch(Vector3::new(-0.6, 0.0, 0.8)));
        let above = TorchAbove::new(leaning, &views.plan);
        let by = -0.6 * leaning.settings.stick_out_mm * views.plan.scale;
        assert!((above.rim.x - by).abs() < 1e-9 && above.rim.y == 0.0, "from above");
        assert_eq!(above.tip, Point::ORIGIN, "the tip stays");
        let front = TorchFront::new(&Point3::new(0.0, 0.0, 5.0), leaning, &views);
        assert!(front.rim.x < -1.0 && front.top().x < front.rim.x, "towards −X");
        assert_eq!(front.tip, Point::ORIGIN, "the tip stays");
    }
}
