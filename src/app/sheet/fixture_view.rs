use super::in_hand::InHand;
use super::shapes::label;
use super::sheet_view::SheetView;
use crate::app::logic::cutter::CutterMark;
use crate::app::logic::svg_path::{body_plan, d};
use crate::app::logic::words::Words;
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
                view! { <path class="clamp-body" d=d(&body_plan(clamp, &Pose::identity(), &plan)) /> }
            })
            .collect_view()
    };
    view! {
        <g class="clamp">{clamps}</g>
        <WireCutter />
    }
}

/// The names of clamps, stops and wire cutter: over the part, which would cut them.
#[component]
pub(super) fn FixtureNames() -> impl IntoView {
    let hand = expect_context::<InHand>();
    let names = move || {
        let name = |words: Words| label("label", words.at, words.anchor, words.text);
        hand.labels.with(|labels| labels.fixture.clone()).into_iter().map(name).collect_view()
    };
    view! { <g class="clamp">{names}</g> }
}

/// The wire cutter on the plan.
#[component]
fn WireCutter() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let mark = move || {
        let mark = view.layout.with(|l| CutterMark::new(&workspace.part(), l));
        mark.jaws.map(|jaw| view! { <path d=d(&jaw) /> })
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
