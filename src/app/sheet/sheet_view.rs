use crate::app::logic::layout::SheetLayout;
use crate::app::logic::projection::Projection;
use crate::app::logic::torch_shape::DrawnTorch;
use kurbo::Point;
use leptos::{prelude::*, svg};
use nudgeproof::cell::OwnMotions;
use nudgeproof::geometry::{Point3, Pose};
use std::sync::Arc;

/// What the components of the sheet share.
#[derive(Clone, Copy)]
pub(super) struct SheetView {
    pub(super) layout: Memo<SheetLayout>,
    /// Where the part is drawn: work frame from part frame.
    pub(super) pose: Memo<Pose>,
    /// Where bodies that move by themselves are drawn on the part.
    pub(super) own_motions: Memo<Arc<OwnMotions>>,
    /// Where the torch is drawn, frame by frame, work frame, mm.
    pub(super) torch: Memo<Point3<f64>>,
    /// The same for texts: while a run plays, where the torch was when it began.
    pub(super) torch_at_rest: Memo<Point3<f64>>,
    /// The torch as it is drawn: it leans where it welds.
    pub(super) shape: Memo<DrawnTorch>,
    /// Where the stored reference part lies, if there is one.
    pub(super) reference: Memo<Option<Pose>>,
    /// The element that all of it is drawn in.
    pub(super) drawing: NodeRef<svg::Svg>,
}

impl SheetView {
    /// The way between the work frame and the sheet, tracked.
    pub(super) fn projection(&self) -> Projection {
        self.layout.read().projection
    }

    /// Where on the sheet a pointer is.
    pub(super) fn pointer(&self, event: &web_sys::PointerEvent) -> Point {
        let place = Point::new(event.client_x().into(), event.client_y().into());
        let corner = self.drawing.get_untracked().map_or(Point::ORIGIN, |drawing| {
            let area = drawing.get_bounding_client_rect();
            Point::new(area.left(), area.top())
        });
        (place - corner).to_point()
    }
}
