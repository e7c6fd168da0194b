use crate::app::chart::{scale_bar, spread};
use crate::app::i18n::{Key, text};
use crate::app::logic::cell_views::{CellViews, LETTERS, NamedPoint, WIDTH, number_place};
use crate::app::logic::dimension::arrow_head;
use crate::app::logic::projection::PlanProjection;
use crate::app::logic::svg_path::{body_plan, cross, d};
use crate::app::sheet::{Hatches, bodies, circle, label, lettering, sized_lettering, solids};
use kurbo::{Line, Point, Vec2};
use leptos::prelude::*;
use nudgeproof::cell::{Body, OwnMotions, Part};
use nudgeproof::forecast::{PlannedTouch, SeamForecast};
use nudgeproof::geometry::Pose;
use std::sync::Arc;

/// Plan and elevation of the part as it was taught: every point with its name or number, every touch with its
/// number, and, where it can be forecast, the spread at both ends of each weld.
#[component]
pub(super) fn CellDrawing(
    part: Arc<Part>,
    forecast: SeamForecast,
    touches: Vec<PlannedTouch>,
    views: CellViews,
) -> impl IntoView {
    let CellViews { height, plan, elevation, on_plan, in_elevation, .. } = views;
    let clamp = |clamp: &Body| {
        view! { <path class="clamp-body" d=d(&body_plan(clamp, &Pose::identity(), &plan)) /> }
    };
    let table = Line::new((0.0, elevation.table), (WIDTH, elevation.table));
    let touches = touches.iter().enumerate().filter_map(|(i, t)| touch(i + 1, t, &plan));
    let name = |name: Key, y: f64| lettering("view-name", Point::new(0.0, y), text(name));
    view! {
        <svg
            class="sheet"
            role="img"
            aria-label=text(Key::CellDrawn)
            viewBox=format!("0 0 {WIDTH} {height:.0}")
        >
            <Hatches />
            {part.clamps.iter().map(clamp).collect_view()}
            {bodies(&part, &forecast.reference, &OwnMotions::new(), &plan)}
            {touches.collect_view()}
            {forecast.ends().map(|end| spread(end, &plan)).collect_view()}
            {on_plan.into_iter().map(named).collect_view()}
            {name(Key::Plan, 13.0)}
            <path class="table" d=d(&table) />
            {solids(&part, &forecast.reference, &OwnMotions::new(), &elevation)}
            {in_elevation.into_iter().map(named).collect_view()}
            {name(Key::Elevation, elevation.table + 17.0)}
            {scale_bar(&plan, height)}
        </svg>
    }
}

fn named(point: NamedPoint) -> impl IntoView {
    let NamedPoint { name, at, label, leader } = point;
    view! {
        {leader.map(|line| view! { <path class="leader" d=d(&line) /> })}
        <path class="point" d=d(&cross(at, 4.0)) />
        {sized_lettering("label", label, Some(LETTERS), name)}
    }
}

/// A planned touch: the way to its contact, and its number inside the part.
fn touch(
    number: usize,
    touch: &PlannedTouch,
    plan: &PlanProjection,
) -> Option<impl IntoView + use<>> {
    let at = number_place(touch, plan)?;
    let line = Line::new(plan.point(&touch.from), plan.point(&touch.contact?));
    let arrow = (line.length() > 1.0).then(|| {
        view! {
            <path class="search" d=d(&line) />
            <path class="search-head" d=d(&arrow_head(line.p0, line.p1, 9.0)) />
        }
    });
    Some(view! {
        {arrow}
        {circle("number-ring", at, LETTERS * 0.6)}
        {label("number", at + Vec2::new(0.0, LETTERS * 0.35), "middle", number.to_string())}
    })
}
