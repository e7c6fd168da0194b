use crate::app::logic::dimension::arrow_head;
use crate::app::logic::number::{unit, unit_mm};
use crate::app::logic::projection::{PlanProjection, direction};
use crate::app::logic::scale;
use crate::app::logic::svg_path::{body_plan, cross, d, polyline};
use crate::app::sheet::{bodies, label};
use kurbo::{Ellipse, Line, Point, Rect, Vec2};
use leptos::prelude::*;
use nudgeproof::cell::{OwnMotions, Part};
use nudgeproof::forecast::{EndSpread, PlannedFind, PlannedTouch, SeamForecast};
use nudgeproof::geometry::{Point2, Point3, Pose};
use nudgeproof::locate::STATED_SIGMAS;
use std::sync::Arc;

/// Width of the drawing in its own units; it is scaled to the room there is.
const WIDTH: f64 = 640.0;
/// Spreads are drawn this much larger than the part.
pub(crate) const MAGNIFICATION: f64 = 20.0;
/// Room round the part and the starts of its touches, for their numbers, mm.
const ROOM: f64 = 26.0;
/// Height under the plan for the scale bar.
const SCALE_BAR: f64 = 26.0;

/// A plan of the part with its numbered touches and, where it can be forecast, the spread at both
/// ends of each weld.
#[component]
pub(super) fn PlanDrawing(
    class: &'static str,
    label: &'static str,
    part: Arc<Part>,
    forecast: SeamForecast,
) -> impl IntoView {
    let shown = extent(&part, &forecast.reference, &forecast.finds);
    let scale = WIDTH / shown.width();
    let height = shown.height() * scale + SCALE_BAR;
    let middle = Point2::new(shown.center().x, shown.center().y);
    let at = Point::new(WIDTH / 2.0, shown.height() * scale / 2.0);
    let plan = PlanProjection::new(scale, middle, at);
    let clamp = |clamp| {
        view! { <path class="clamp-body" d=d(&body_plan(clamp, &Pose::identity(), &plan)) /> }
    };
    let touches = forecast.finds.iter().flat_map(|f| &f.touches).enumerate();
    view! {
        <svg class=class role="img" aria-label=label viewBox=format!("0 0 {WIDTH} {height:.0}")>
            {part.clamps.iter().map(clamp).collect_view()}
            {bodies(&part, &forecast.reference, &OwnMotions::new(), &plan)}
            {touches.map(|(i, t)| touch(i + 1, t, &plan)).collect_view()}
            {forecast.ends().map(|end| spread(end, &plan)).collect_view()}
            {scale_bar(&plan, height)}
        </svg>
    }
}

/// The piece of the work frame that is drawn, mm.
fn extent(part: &Part, reference: &Pose, finds: &[PlannedFind]) -> Rect {
    let corners = part.bodies.iter().flat_map(|b| &b.outline.corners);
    let corners = corners.map(|c| reference.point(&Point3::new(c.at.x, c.at.y, 0.0)));
    let starts = finds.iter().flat_map(|f| &f.touches).map(|t| t.from);
    let around = |p: Point3<f64>| Rect::from_center_size((p.x, p.y), (2.0 * ROOM, 2.0 * ROOM));
    let all = corners.chain(starts).map(around).reduce(|a, b| a.union(b));
    all.unwrap_or_else(|| around(Point3::origin()))
}

/// A planned touch: its start, the way to the contact, its number.
fn touch(number: usize, touch: &PlannedTouch, plan: &PlanProjection) -> impl IntoView + use<> {
    let from = plan.point(&touch.from);
    let line = Line::new(from, plan.point(&touch.contact.unwrap_or(touch.from)));
    let away = plan.vector(&touch.direction) / plan.scale * 19.0;
    let arrow = (line.length() > 1.0).then(|| {
        view! {
            <path class="search" d=d(&line) />
            <path class="search-head" d=d(&arrow_head(line.p0, line.p1, 7.0)) />
        }
    });
    view! {
        <path class="point" d=d(&cross(from, 4.0)) />
        {arrow}
        {label("label number", from - away + Vec2::new(0.0, 7.0), "middle", number.to_string())}
    }
}

/// One end's ellipse of three standard deviations, magnified.
pub(crate) fn spread(end: &EndSpread, plan: &PlanProjection) -> impl IntoView + use<> {
    let [a, b, angle] = end.ellipse;
    let at = plan.point(&end.at);
    let [a, b] = [a, b].map(|mm| plan.px(mm * STATED_SIGMAS * MAGNIFICATION).max(1.0));
    let ellipse = Ellipse::new(at, (a, b), direction(angle).atan2());
    view! {
        <path class="spread" d=d(&ellipse) />
        <path class="point" d=d(&cross(at, 4.0)) />
    }
}

/// A round length to scale, at the lower right of a drawing of this height.
pub(crate) fn scale_bar(plan: &PlanProjection, height: f64) -> impl IntoView + use<> {
    let px_per_unit = plan.px(unit_mm());
    let length = scale::bar(px_per_unit, 110.0);
    let (right, bottom) = (WIDTH - 8.0, height - 8.0);
    let left = right - length * px_per_unit;
    let bar = [(left, bottom - 6.0), (left, bottom), (right, bottom), (right, bottom - 6.0)];
    let text = format!("{length} {}", unit());
    view! {
        <path d=d(&polyline(bar.map(Point::from))) />
        {label("", Point::new(left - 6.0, bottom), "end", text)}
    }
}
