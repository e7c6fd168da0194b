use super::crash_view::CrashInElevation;
use super::fixture_view::CutterInElevation;
use super::height_view::Heights;
use super::point_view::SearchesInElevation;
use super::shapes::lettering;
use super::sheet_view::SheetView;
use super::torch_path_view::{LegStroke, TorchPath};
use crate::app::logic::elevation::{HeightMark, HeightScale};
use crate::app::logic::number::length;
use crate::app::logic::projection::ElevationProjection;
use crate::app::logic::shown::on_part;
use crate::app::logic::shown::{differ, lowest};
use crate::app::logic::svg_path::{body_elevation, d, polyline};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::{Body, OwnMotions, Part};
use nudgeproof::geometry::Pose;

/// Table, clamps, part, points and the path of the torch from the front.
#[component]
pub(super) fn Elevation() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let scale = move || view.layout.with(|l| height_scale(HeightScale::new(l)));
    let ghost = move || {
        let (reference, pose) = (view.reference.get().unwrap_or_default(), view.pose.get());
        let (part, elevation) = (workspace.part(), view.projection().elevation);
        let outline = |body| view! { <path d=d(&body_elevation(body, &reference, &elevation)) /> };
        differ(&reference, &pose).then(|| {
            view! { <g class="ghost">{part.bodies.iter().map(outline).collect_view()}</g> }
        })
    };
    let solids = move || {
        let (own, elevation) = (view.own_motions.get(), view.projection().elevation);
        solids(&workspace.part(), &view.pose.get(), &own, &elevation)
    };
    view! {
        <g class="side">{scale} <CutterInElevation /> {ghost} {solids}</g>
        <g class="side">
            <TorchPath
                point=|p, q| p.elevation.point(q)
                stroke=|_, _| LegStroke { class: "way", lines: &[0.0] }
                test_id="run-path-side"
            />
        </g>
        <SearchesInElevation />
        <Heights />
        <CrashInElevation />
    }
}

fn height_scale(scale: HeightScale) -> impl IntoView {
    let mark = |mark: HeightMark| {
        view! {
            <path class="ladder" d=d(&mark.line) />
            {lettering("ladder-text", mark.text, length(mark.z, 0))}
        }
    };
    view! {
        <path class="table" d=d(&scale.table) />
        <path class="table-hatch" d=d(&scale.hatch) />
        <path class="break" d=d(&scale.break_line) />
        {scale.marks.into_iter().map(mark).collect_view()}
    }
}

/// Clamps, bodies and seams in the elevation.
pub(crate) fn solids(
    part: &Part,
    pose: &Pose,
    own_motions: &OwnMotions,
    view: &ElevationProjection,
) -> impl IntoView + use<> {
    let lowest = lowest(part);
    let clamp = |clamp: &Body| {
        let outline = body_elevation(clamp, &Pose::identity(), view);
        view! { <path class="clamp-body" d=d(&outline) /> }
    };
    let body = |body: &Body| {
        let class = if body.z[0] > lowest { "body plate" } else { "body" };
        let pose = on_part(pose, own_motions, Some(&body.name));
        view! { <path class=class d=d(&body_elevation(body, &pose, view)) /> }
    };
    let seam = |seam: &nudgeproof::cell::Seam| {
        let pose = on_part(pose, own_motions, seam.body.as_deref());
        let line = polyline([seam.from, seam.to].map(|p| view.point(&pose.point(&p))));
        view! { <path class="seam" d=d(&line) /> }
    };
    view! {
        {part.clamps.iter().map(clamp).collect_view()}
        {part.bodies.iter().map(body).collect_view()}
        {part.seams.iter().map(seam).collect_view()}
    }
}
