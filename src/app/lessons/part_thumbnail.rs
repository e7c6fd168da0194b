use crate::app::logic::idea::part_bounds;
use crate::app::logic::projection::PlanProjection;
use crate::app::logic::shown::lowest;
use crate::app::logic::svg_path::{body_plan, d, polyline};
use kurbo::Point;
use leptos::prelude::*;
use nudgeproof::cell::{Body, Part, Seam};
use nudgeproof::geometry::Pose;

/// Size of the drawing in its own units; it is scaled to the room there is.
const SIZE: [f64; 2] = [120.0, 64.0];
/// Left free round the part.
const ROOM: f64 = 5.0;

/// A part from above, so small that it says no more than which part it is. Screen readers skip it.
#[component]
pub(crate) fn PartThumbnail(part: Part) -> impl IntoView {
    let [low, high] = part_bounds(&part);
    let size = high - low;
    let [width, height] = SIZE.map(|side| side - 2.0 * ROOM);
    let scale = (width / size.x.max(1.0)).min(height / size.y.max(1.0));
    let middle = Point::new(SIZE[0] / 2.0, SIZE[1] / 2.0);
    let plan = PlanProjection::new(scale, low + size / 2.0, middle);
    let lowest = lowest(&part);
    let body = |body: &Body| {
        let class = if body.z[0] > lowest { "body plate" } else { "body" };
        view! { <path class=class d=d(&body_plan(body, &Pose::identity(), &plan)) /> }
    };
    let seam = |seam: &Seam| {
        view! { <path class="seam" d=d(&polyline([seam.from, seam.to].map(|p| plan.point(&p)))) /> }
    };
    view! {
        <svg class="emblem" viewBox=format!("0 0 {} {}", SIZE[0], SIZE[1]) aria-hidden="true">
            {part.bodies.iter().map(body).collect_view()}
            {part.seams.iter().map(seam).collect_view()}
        </svg>
    }
}
