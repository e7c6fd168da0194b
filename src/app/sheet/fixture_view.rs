use super::shapes::label;
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, text};
use crate::app::logic::cutter::CutterMark;
use crate::app::logic::labels::clamp_middle;
use crate::app::logic::svg_path::{body_plan, d};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::Pose;

/// Clamps, stops and wire cutter on the plan: they stay where they are.
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
    view! {
        <g class="clamp">{clamps}</g>
        <WireCutter />
    }
}

/// The wire cutter on the plan.
#[component]
fn WireCutter() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let mark = move || {
        let mark = view.layout.with(|l| CutterMark::new(&workspace.part(), l));
        view! {
            {mark.jaws.map(|jaw| view! { <path d=d(&jaw) /> })}
            {label("label", mark.label, "middle", text(Key::WireCutter).into())}
        }
    };
    view! {
        <g class="cutter" data-testid="wire-cutter">
            {mark}
        </g>
    }
}

/// The wire cutter in the elevation.
#[component]
pub(super) fn CutterInElevation() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let post = move || view.layout.with(|l| d(&CutterMark::new(&workspace.part(), l).post));
    view! {
        <g class="cutter" data-testid="wire-cutter-side">
            <path d=post />
        </g>
    }
}
