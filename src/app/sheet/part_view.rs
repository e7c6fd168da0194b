use super::drag::Drag;
use super::part_grips::{drop_part, slide_by_drag};
use super::reveal_view;
use super::shapes::circle;
use super::sheet_view::SheetView;
use crate::app::logic::projection::PlanProjection;
use crate::app::logic::shown;
use crate::app::logic::svg_path::{body_lean, body_plan, d, polyline, translate};
use crate::app::presenter::reveal_scene;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::{self, OwnMotions};
use nudgeproof::geometry::{Point3, Pose};

/// The part as it lies. A mouse drags it anywhere; a finger on it scrolls the page, and moves the
/// part by the grip in its middle.
#[component]
pub(super) fn PartView() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let drag = Drag::<Pose>::new();
    let revealed = reveal_scene().revealed;
    let came = Memo::new(move |_| {
        let moved = revealed.with(|r| r.as_ref()?.moved)?;
        Some(reveal_view::start(moved, &view.projection().plan))
    });
    let listeners = drag.listeners(
        move |event| {
            let mouse = event.pointer_type() == "mouse";
            mouse.then(|| workspace.state_untracked().part_shown())
        },
        slide_by_drag(workspace, view),
        move |_| drop_part(workspace),
        move |_| workspace.dragged.set(None),
    );
    view! {
        <g
            class="part"
            class:held=move || drag.holds()
            class:revealing=move || came.get().is_some()
            style:transform-origin=move || came.get().map(|c| format!("{}px {}px", c.about.x, c.about.y))
            style:--shift=move || came.get().map(|c| format!("{}px, {}px", c.shift.x, c.shift.y))
            style:--turn=move || came.get().map(|c| format!("{}deg", c.turn_deg))
            data-testid="part"
            {..listeners}
        >
            {move || {
                let (own, plan) = (view.own_motions.get(), view.projection().plan);
                bodies(&workspace.part(), &view.pose.get(), &own, &plan)
            }}
        </g>
    }
}

/// The outline of the reference part, where it lies elsewhere than the part.
#[component]
pub(super) fn Ghost() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let pose = Memo::new(move |_| {
        let reference = view.reference.get().unwrap_or_default();
        shown::differ(&reference, &view.pose.get()).then_some(reference)
    });
    let outlines = move || {
        let pose = pose.get()?;
        let (part, plan) = (workspace.part(), view.projection().plan);
        let outline = |body| view! { <path d=d(&body_plan(body, &pose, &plan)) /> };
        Some(part.bodies.iter().map(outline).collect_view())
    };
    view! {
        <g class="ghost" data-testid="ghost" data-shown=move || pose.get().is_some().to_string()>
            {outlines}
        </g>
    }
}

/// Bodies, seams and the origin of a part on the plan.
pub(crate) fn bodies(
    part: &cell::Part,
    pose: &Pose,
    own_motions: &OwnMotions,
    plan: &PlanProjection,
) -> impl IntoView + use<> {
    let lowest = shown::lowest(part);
    let body = |body: &cell::Body| {
        let class = if body.z[0] > lowest { "body plate" } else { "body" };
        let pose = &shown::on_part(pose, own_motions, Some(&body.name));
        let lean = body_lean(body, pose, plan);
        view! {
            {lean.map(|lean| view! { <path class="lean" d=d(&lean) /> })}
            <path class=class d=d(&body_plan(body, pose, plan)) />
        }
    };
    let seam = |seam: &cell::Seam| {
        let pose = shown::on_part(pose, own_motions, seam.body.as_deref());
        let line = d(&polyline([seam.from, seam.to].map(|p| plan.point(&pose.point(&p)))));
        view! {
            <path class="seam-ticks" d=line.clone() />
            <path class="seam" d=line />
        }
    };
    let datum = plan.point(&pose.point(&Point3::origin()));
    view! {
        {part.bodies.iter().map(body).collect_view()}
        {part.seams.iter().map(seam).collect_view()}
        <path class="datum" d="M0 0l-9 4v-8z" transform=translate(datum) />
        {circle("datum", datum, 2.5)}
    }
}
