use super::rehearsal::Rehearsal;
use crate::app::i18n::{Key, text};
use crate::app::logic::dimension::arrow_head;
use crate::app::logic::number::length;
use crate::app::logic::part_drawing::{DrawnDimension, NumberPlace, PartViews};
use crate::app::logic::projection::PlanProjection;
use crate::app::logic::svg_path::{body_plan, d, hundredth};
use crate::app::sheet::{Hatches, bodies, element_size, label, lettering, solids};
use kurbo::{Line, Point};
use leptos::{html, prelude::*};
use nudgeproof::cell::{Body, ModelTouch, OwnMotions};
use nudgeproof::geometry::{Pose, Vector3};

/// Plan and elevation of the part, as it is filled in: its dimensions, clamps, touches and seams.
#[component]
pub(super) fn PartDrawing() -> impl IntoView {
    let rehearsal = Rehearsal::here();
    let holder = NodeRef::<html::Div>::new();
    let size = element_size(holder);
    let drawn = move || {
        let (width, height) = size.get()?;
        let (draft, part) = rehearsal.drawn()?;
        let views = PartViews::new(&part, [width, height]);
        let (plan, elevation, at_home) = (views.plan, views.elevation, Pose::identity());
        let clamp = |clamp: &Body| {
            view! { <path class="clamp-body" d=d(&body_plan(clamp, &at_home, &plan)) /> }
        };
        let dimensions = draft.map(|draft| views.dimensions(&draft, &part)).unwrap_or_default();
        let table = Line::new((0.0, elevation.table), (width, elevation.table));
        let name_at = elevation.height(elevation.break_height) - 12.0;
        Some(view! {
            <svg
                class="sheet"
                role="img"
                aria-label=text(Key::OwnPlan)
                data-testid="own-plan"
                viewBox=format!("0 0 {width:.0} {height:.0}")
            >
                <Hatches />
                {part.clamps.iter().map(clamp).collect_view()}
                {bodies(&part, &at_home, &OwnMotions::new(), &plan)}
                {part.model_touches.iter().filter_map(|t| touch(t, &plan)).collect_view()}
                <path class="table" d=d(&table) />
                {solids(&part, &at_home, &OwnMotions::new(), &elevation)}
                {lettering("view-name", Point::new(12.0, 18.0), text(Key::Plan))}
                {lettering("view-name", Point::new(12.0, name_at), text(Key::Elevation))}
                {dimensions.into_iter().map(|dimension| drawn_dimension(dimension, rehearsal)).collect_view()}
            </svg>
        })
    };
    view! {
        <div class="own-drawing" class:stale=move || rehearsal.is_wrong() node_ref=holder>
            {drawn}
        </div>
    }
}

/// Where the wire feels, from the start of its search on. A touch from above has no way on the plan.
fn touch(touch: &ModelTouch, plan: &PlanProjection) -> Option<impl IntoView + use<>> {
    let direction = Vector3::from(touch.direction);
    let from = plan.point(&touch.from);
    let to = plan.point(&(touch.from + direction * 10.0));
    (from.distance(to) > 1.0).then(|| {
        view! {
            <path class="search" d=d(&Line::new(from, to)) />
            <path class="search-head" d=d(&arrow_head(from, to, 7.0)) />
        }
    })
}

/// A dimension line; that of the field one fills in stands out.
fn drawn_dimension(drawn: DrawnDimension, rehearsal: Rehearsal) -> impl IntoView {
    let DrawnDimension { dimension, value, line, number: place } = drawn;
    let heads = line.heads.map(|head| view! { <path class="head" d=d(&head) /> });
    let lines = [line.witness[0], line.witness[1], line.shaft];
    let lines = lines.map(|line| view! { <path d=d(&line) /> });
    // Whole millimetres stand without a decimal.
    let number = length(value, usize::from(value < 20.0 && value.fract() > 1e-9));
    let middle = line.shaft.midpoint();
    let words = match place {
        NumberPlace::Above => {
            label("label", Point::new(middle.x, middle.y - 4.0), "middle", number).into_any()
        }
        NumberPlace::Right => {
            label("label", Point::new(middle.x + 19.0, middle.y + 4.0), "middle", number).into_any()
        }
        NumberPlace::Turned => {
            let [x, y] = [middle.x - 4.0, middle.y].map(hundredth);
            let turn = format!("rotate(-90 {x} {y})");
            view! { <g transform=turn>{label("label", Point::new(x, y), "middle", number)}</g> }
                .into_any()
        }
    };
    view! {
        <g
            class="dimension"
            class:at-hand=move || rehearsal.at_hand.get() == Some(dimension)
            data-testid=format!("drawn-{}", dimension.id())
        >
            {lines}
            {heads}
            {words}
        </g>
    }
}
