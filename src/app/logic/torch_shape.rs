//! The torch as drawn from above and from the front, pixels about the place where the tip of a
//! straight wire of the taught length is drawn. Only this place changes from frame to frame.

use super::projection::{PlanProjection, Projection};
use super::svg_path::hundredth;
use kurbo::{BezPath, Line, Point, Rect};
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::session::State;

/// The torch from above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TorchAbove {
    /// Radius of the nozzle.
    pub(crate) nozzle: f64,
    /// The tip of the wire as it is bent.
    pub(crate) tip: Point,
}

/// The least radius the nozzle is drawn with, pixels.
const LEAST_RADIUS: f64 = 7.0;

impl TorchAbove {
    pub(crate) fn new(state: &State, plan: &PlanProjection) -> Self {
        Self {
            nozzle: plan.px(state.settings.nozzle_mm / 2.0).max(LEAST_RADIUS),
            tip: plan.vector(&state.bend_shown()).to_point(),
        }
    }

    /// Four marks across the rim of the nozzle.
    pub(crate) fn cross(&self) -> [Line; 4] {
        [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)].map(|(x, y)| {
            let at = |r: f64| Point::new(x * r, y * r);
            Line::new(at(self.nozzle), at(self.nozzle + 5.0))
        })
    }
}

/// The torch from the front, to the hundredth of a pixel: heights are drawn to two scales, so its
/// shape changes where it crosses from one to the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TorchFront {
    /// Height of the rim of the nozzle.
    rim: f64,
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
    pub(crate) fn new(at: &Point3<f64>, state: &State, projection: &Projection) -> Self {
        // The rim stands where it stood when the points were taught.
        let (taught, now) = (state.settings.stick_out_mm, state.stick_out_shown());
        let view = &projection.elevation;
        let place = view.point(at);
        let tip = view.point(&(at + state.bend_shown() - Vector3::z() * (now - taught))) - place;
        Self {
            rim: hundredth(view.height(at.z + taught) - place.y),
            tip: Point::new(hundredth(tip.x), hundredth(tip.y)),
            half: view.px(state.settings.nozzle_mm / 2.0).max(LEAST_HALF),
        }
    }

    /// Where the height of the torch is written.
    pub(crate) fn label(&self) -> Point {
        Point::new(self.tip.x + self.half + 6.0, (self.rim - 4.0).min(self.tip.y - 2.0))
    }

    fn top(&self) -> f64 {
        self.rim - NOZZLE_HEIGHT
    }

    /// The nozzle, narrower at its top.
    pub(crate) fn nozzle(&self) -> [Point; 4] {
        let Self { rim, half, .. } = *self;
        [(-half, rim), (-half * 0.7, self.top()), (half * 0.7, self.top()), (half, rim)]
            .map(Point::from)
    }

    /// The wire, from the rim to its tip.
    pub(crate) fn wire(&self) -> BezPath {
        let mut path = BezPath::new();
        path.move_to((0.0, self.rim));
        path.quad_to(Point::new(0.0, self.tip.y), self.tip);
        path
    }

    /// The area that takes a press.
    pub(crate) fn target(&self) -> Rect {
        let height = (self.tip.y - self.top() + 20.0).max(44.0);
        Rect::from_origin_size((self.tip.x - 22.0, self.top() - 10.0), (44.0, height))
    }
}
