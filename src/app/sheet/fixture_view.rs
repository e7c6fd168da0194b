use super::SheetView;
use crate::app::desk::desk;
use crate::app::logic::ink;
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Pose};

/// Clamps and stops: they stay where they are.
#[component]
pub(super) fn FixturePlan() -> impl IntoView {
    let desk = desk();
    let view = expect_context::<SheetView>();
    move || {
        let projection = view.layout.read().projection;
        desk.part()
            .clamps
            .iter()
            .map(|clamp| {
                let corners = &clamp.outline.corners;
                let n = corners.len().max(1) as f64;
                let (x, y) = corners.iter().fold((0.0, 0.0), |(x, y), c| (x + c.at.x, y + c.at.y));
                let s = projection.plan(&Point3::new(x / n, y / n, 0.0));
                view! {
                    <g class="clamp">
                        <path class="clamp-body" d=ink::body_plan(clamp, &Pose::identity(), &projection)/>
                        <text class="label-back" x=s.x y=s.y + 4.0>{clamp.name.clone()}</text>
                        <text class="label" x=s.x y=s.y + 4.0>{clamp.name.clone()}</text>
                    </g>
                }
            })
            .collect_view()
    }
}
