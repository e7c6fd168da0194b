use super::shapes::label;
use super::sheet_view::SheetView;
use crate::app::logic::labels::clamp_middle;
use crate::app::logic::svg_path::{body_plan, d};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::Pose;

/// Clamps and stops on the plan: they stay where they are.
#[component]
pub(super) fn Fixture() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let clamps = move || {
        let plan = view.projection().plan;
        let part = workspace.part();
        part.clamps
            .iter()
            .map(|clamp| {
                let name = clamp_middle(clamp, &plan) + (0.0, 4.0);
                view! {
                    <path class="clamp-body" d=d(&body_plan(clamp, &Pose::identity(), &plan)) />
                    {label("label", name, "middle", clamp.name.clone())}
                }
            })
            .collect_view()
    };
    view! { <g class="clamp">{clamps}</g> }
}
