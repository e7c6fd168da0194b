//! The arm of the robot on the plan: thin, under everything that is read.

use super::in_hand::InHand;
use super::shapes::label;
use super::sheet_view::SheetView;
use crate::app::logic::arm::{ArmShape, BaseMark, arm_transform};
use crate::app::logic::svg_path::d;
use crate::app::workspace::workspace;
use kurbo::Circle;
use leptos::prelude::*;

/// Two links from the torch towards the base, and where the base stands. A narrow sheet has no room
/// for them.
#[component]
pub(super) fn ArmOnPlan() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let hand = expect_context::<InHand>();
    let narrow = move || view.layout.read().narrow();
    let outline = move || {
        let (scale, settings) = (view.projection().plan.scale, workspace.state().settings);
        d(&ArmShape::new(scale, settings.nozzle_mm / 2.0 * scale).outline())
    };
    let transform =
        move || view.layout.with(|l| arm_transform(&view.torch.get(), &workspace.part(), l));
    let base = move || {
        let mark = view.layout.with(|l| BaseMark::new(&workspace.part(), l))?;
        let ring = Circle::new(mark.at, 10.0);
        let words = hand.labels.with(|labels| labels.arm.clone());
        Some(view! {
            <path class="arm-base" d=d(&ring) />
            {words.map(|words| label("label note", words.at, words.anchor, words.text))}
        })
    };
    view! {
        <Show when=move || !narrow()>
            <g class="arm-figure" data-testid="arm">
                <path class="arm-links" transform=transform d=outline />
                {base}
            </g>
        </Show>
    }
}
