use super::SheetView;
use crate::app::desk::desk;
use crate::app::logic::shown::legs_until;
use crate::app::logic::{ink, projection::Spot};
use leptos::prelude::*;
use nudgeproof::geometry::Pose;

/// Table, clamps, part and points from the front.
#[component]
pub(super) fn Elevation() -> impl IntoView {
    let desk = desk();
    let view = expect_context::<SheetView>();
    view! {
        <g class="side">
            {move || {
                let l = view.layout.get();
                let (p, r) = (l.projection, l.side);
                let table = p.side_xz(0.0, 0.0).y;
                let knee = p.side_xz(0.0, p.knee).y;
                // Heights written beside the ladder.
                let marks = [0.0, 12.0, 24.0, p.knee, 200.0].map(|z| {
                    let y = p.side_xz(0.0, z).y;
                    view! {
                        <path class="ladder" d=format!("M{} {y}h6", r.right() - 8.0)/>
                        <text class="ladder-text" x=r.right() - 11.0 y=y + 3.5>{format!("{z}")}</text>
                    }
                });
                view! {
                    <path class="table" d=ink::segment(Spot::new(r.x, table), Spot::new(r.right(), table))/>
                    <path class="table-hatch" d=format!("M{} {}h{}", r.x, table + 4.0, r.w)/>
                    <path class="break" d=break_line(r.x, r.right(), knee)/>
                    {marks}
                }
            }}
            {move || {
                let projection = view.layout.read().projection;
                desk.part().clamps.iter().map(|c| view! {
                    <path class="clamp-body" d=ink::body_side(c, &Pose::identity(), &projection)/>
                }).collect_view()
            }}
            {move || {
                let (projection, pose) = (view.layout.read().projection, view.pose.get());
                let part = desk.part();
                let lowest = part.bodies.iter().map(|b| b.z[0]).fold(f64::MAX, f64::min);
                part.bodies.iter().map(|b| {
                    let class = if b.z[0] > lowest { "body plate" } else { "body" };
                    view! { <path class=class d=ink::body_side(b, &pose, &projection)/> }
                }).collect_view()
            }}
            {move || {
                let (projection, pose) = (view.layout.read().projection, view.pose.get());
                desk.part().seams.iter().map(|s| {
                    let ends = [pose.point(&s.from), pose.point(&s.to)];
                    view! { <path class="seam" d=ink::way_side(&ends, &projection)/> }
                }).collect_view()
            }}
            {move || desk.on_show().map(|(log, p)| {
                let projection = view.layout.read().projection;
                legs_until(&log, p.t).map(|(leg, share)| {
                    let path = ink::head(&leg.path, share);
                    view! { <path class="way" d=ink::way_side(&path, &projection)/> }
                }).collect_view()
            })}
            <g class="points">
                {move || {
                    let projection = view.layout.read().projection;
                    desk.routine().points.iter().map(|p| {
                        let s = projection.side(&p.at);
                        view! { <path class="point" d=format!("M{} {}l6 6m0 -6l-6 6", s.x - 3.0, s.y - 3.0)/> }
                    }).collect_view()
                }}
            </g>
        </g>
    }
}

/// A thin line with zigzags (ISO 128): above it heights are drawn smaller.
fn break_line(from: f64, to: f64, y: f64) -> String {
    let mut d = format!("M{from} {y}");
    let step = 90.0;
    let mut x = from;
    while x + step < to {
        d.push_str("h40l3 -5l5 10l3 -5h39");
        x += step;
    }
    d.push_str(&format!("H{to}"));
    d
}
