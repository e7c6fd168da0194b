use super::work::shift_work;
use crate::app::i18n::{Key, format};
use crate::app::logic::idea::part_bounds;
use crate::app::logic::number::signed_length;
use crate::app::logic::projection::PlanProjection;
use crate::app::logic::svg_path::{body_plan, cross, d, polyline, translate};
use crate::app::logic::words::best_way;
use crate::app::sheet::{Hatches, bodies, circle, label};
use kurbo::{Point, Rect, Size, Vec2};
use leptos::prelude::*;
use nudgeproof::cell::{Body, OwnMotions, Part};
use nudgeproof::geometry::Pose;
use nudgeproof::shift::TouchFelt;

/// Size of the plan in its own units; it is scaled to the room there is.
const SIZE: [f64; 2] = [640.0, 430.0];
/// Room beside the part for touches and their numbers, mm.
const ROOM: f64 = 60.0;

/// The part that waits, where its touches have it, and how far each of them stands off.
#[component]
pub(super) fn ShiftPlan() -> impl IntoView {
    let work = shift_work();
    let part = Memo::new(move |_| work.shift.read().part().clone());
    let fixed = move || {
        part.with(|part| {
            let plan = plan_of(part);
            let outline = |class: &'static str, body: &Body| {
                view! { <path class=class d=d(&body_plan(body, &Pose::identity(), &plan)) /> }
            };
            view! {
                <g class="clamp">
                    {part.clamps.iter().map(|c| outline("clamp-body", c)).collect_view()}
                </g>
                <g class="ghost">{part.bodies.iter().map(|b| outline("", b)).collect_view()}</g>
            }
        })
    };
    let felt = move || {
        let shift = work.shift.read();
        let felt = shift.now().or_else(|| shift.done().last().map(|d| &d.felt))?;
        let plan = plan_of(shift.part());
        let mut taken = Vec::new();
        let touches =
            felt.touches.iter().enumerate().map(|(i, t)| touch(i + 1, t, &plan, &mut taken));
        let part =
            felt.offset.map(|offset| bodies(shift.part(), &offset, &OwnMotions::new(), &plan));
        Some(view! {
            <g class="part">{part}</g>
            <g class="shift-touches">{touches.collect::<Vec<_>>()}</g>
        })
    };
    view! {
        <p class="fine">{format(Key::ShiftPlanNote, &[])}</p>
        <svg
            class="sheet shift-sheet"
            viewBox=format!("0 0 {} {}", SIZE[0], SIZE[1])
            aria-hidden="true"
            data-testid="shift-drawing"
        >
            <Hatches />
            {fixed}
            {felt}
        </svg>
    }
}

/// The part in the middle, with room round it.
fn plan_of(part: &Part) -> PlanProjection {
    let [low, high] = part_bounds(part);
    let (size, [width, height]) = (high - low, SIZE);
    let scale = (width / (size.x + 2.0 * ROOM)).min(height / (size.y + 2.0 * ROOM));
    PlanProjection::new(scale, low + size / 2.0, Point::new(width / 2.0, height / 2.0))
}

/// Room for the number of a touch with what it reads, where the drawing is smallest and they are largest.
const LABEL: Size = Size::new(100.0, 30.0);

/// A touch: its search, a bar where it touched or a cross where it felt nothing, its number, and how far
/// it stands off the best fit. The numbers keep off each other: `taken` is what those before have.
fn touch(
    number: usize,
    touch: &TouchFelt,
    plan: &PlanProjection,
    taken: &mut Vec<Rect>,
) -> impl IntoView + use<> {
    let flat = plan.vector(&touch.direction);
    let along = if flat.hypot() < 1e-6 { Vec2::new(0.0, 1.0) } else { flat.normalize() };
    let from = plan.point(&touch.start);
    let felt = touch.reading.map(|reading| plan.point(&reading));
    let at = felt.unwrap_or(from);
    let bar = along.turn_90() * 7.0;
    let sign = if felt.is_some() { polyline([at - bar, at + bar]) } else { cross(at, 6.0) };
    let left = along.x < -0.5;
    let room = |disc: &Point| {
        let corner = Vec2::new(if left { 15.0 - LABEL.width } else { -15.0 }, -LABEL.height / 2.0);
        Rect::from_origin_size(*disc + corner, LABEL)
    };
    let ways = [0.0, 1.0, -1.0, 2.0, -2.0];
    let ways = ways.map(|by| at + along * 20.0 + along.turn_90() * (by * LABEL.height));
    let everywhere = Rect::new(0.0, 0.0, SIZE[0], SIZE[1]);
    let disc = best_way(ways, room, taken, &everywhere).unwrap_or(ways[0]);
    let off = touch.residual_mm.map(|mm| signed_length(mm, 2)).unwrap_or_default();
    let (beside, anchor) =
        if left { (Vec2::new(-14.0, 5.0), "end") } else { (Vec2::new(14.0, 5.0), "start") };
    let class = if felt.is_some() { "touch" } else { "touch nothing" };
    view! {
        <g class=class>
            <path class="search" d=d(&polyline([from, at])) />
            <path class="bar" d=d(&sign) />
            <g class="told" transform=translate(disc)>
                <g class="sized">
                    {circle("disc", Point::ORIGIN, 10.0)}
                    {label("count", Point::new(0.0, 5.0), "middle", number.to_string())}
                    {label("reading", beside.to_point(), anchor, off)}
                </g>
            </g>
        </g>
    }
}
