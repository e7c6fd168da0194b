use super::grips::{Grip, Grips};
use super::rehearsal::Rehearsal;
use crate::app::i18n::{Key, format, text};
use crate::app::keys::{self, KeyCommand, Scope};
use crate::app::logic::dimension::arrow_head;
use crate::app::logic::forecast_marks::ForecastMarks;
use crate::app::logic::number::length;
use crate::app::logic::part_drawing::{DrawnDimension, NumberPlace, PartViews};
use crate::app::logic::part_labels::{
    Number, PLAN_NAME, RING, elevation_name, numbers, ring_at, spread_words, touch_ends,
};
use crate::app::logic::svg_path::{body_plan, d, hundredth};
use crate::app::sheet::{
    Hatches, bodies, circle, element_size, end_mark, keep_page_still, label, lettering, solids,
};
use kurbo::{Line, Point, Vec2};
use leptos::ev::{KeyboardEvent, PointerEvent};
use leptos::{html, prelude::*};
use nudgeproof::cell::{Body, Draft, ModelTouch, OwnMotions, Part};
use nudgeproof::forecast::PlannedTouch;
use nudgeproof::geometry::{Pose, Vector2, Vector3};
use std::sync::Arc;

/// What is drawn, and where.
#[derive(Debug, Clone, PartialEq)]
struct Drawn {
    draft: Option<Draft>,
    part: Arc<Part>,
    views: PartViews,
    size: [f64; 2],
}

/// Plan and elevation of the part, as it is filled in: its dimensions, clamps and seams, its touches, and
/// the forecast at the ends of its welds. Dimensions and touches can be dragged.
#[component]
pub(super) fn PartDrawing() -> impl IntoView {
    let rehearsal = Rehearsal::here();
    let holder = NodeRef::<html::Div>::new();
    let size = element_size(holder);
    let grips = Grips::new(holder);
    let drawn = Memo::new(move |_| {
        let size: [f64; 2] = size.get()?.into();
        let (draft, part) = rehearsal.drawn()?;
        let views = grips.kept_views().unwrap_or_else(|| PartViews::new(&part, size));
        Some(Drawn { draft, part, views, size })
    });
    let view_box = move || {
        drawn.read().as_ref().map(|Drawn { size: [w, h], .. }| format!("0 0 {w:.0} {h:.0}"))
    };
    let touches =
        Memo::new(move |_| drawn.read().as_ref().map_or(0, |d| d.part.model_touches.len()));
    view! {
        <div
            class="own-drawing"
            class:stale=move || rehearsal.is_wrong()
            node_ref=holder
            on:pointermove=move |event| grips.follow(&event)
            on:pointerup=move |_| grips.let_go()
            on:pointercancel=move |_| grips.put_back()
        >
            <svg
                class="sheet"
                role="group"
                aria-label=text(Key::OwnPlan)
                data-testid="own-plan"
                viewBox=view_box
            >
                <Hatches />
                {move || drawn.get().map(part_drawn)}
                {move || drawn.get().map(|drawn| dimensions(&drawn, rehearsal, grips))}
                {move || drawn.get().map(|drawn| forecast(&drawn, rehearsal))}
                <For each=move || 0..touches.get() key=|n| *n let:n>
                    <TouchGrip n drawn grips />
                </For>
            </svg>
        </div>
    }
}

/// Plan and elevation.
fn part_drawn(drawn: Drawn) -> impl IntoView {
    let Drawn { part, views, size: [width, _], .. } = drawn;
    let (plan, elevation, at_home) = (views.plan, views.elevation, Pose::identity());
    let clamp = |clamp: &Body| {
        view! { <path class="clamp-body" d=d(&body_plan(clamp, &at_home, &plan)) /> }
    };
    let table = Line::new((0.0, elevation.table), (width, elevation.table));
    view! {
        {part.clamps.iter().map(clamp).collect_view()}
        {bodies(&part, &at_home, &OwnMotions::new(), &plan)}
        <path class="table" d=d(&table) />
        {solids(&part, &at_home, &OwnMotions::new(), &elevation)}
        {lettering("view-name", Point::new(12.0, PLAN_NAME), text(Key::Plan))}
        {lettering("view-name", Point::new(12.0, elevation_name(&views)), text(Key::Elevation))}
    }
}

/// The spread at both ends of each weld, how many times too large, and against what is allowed.
fn forecast(drawn: &Drawn, rehearsal: Rehearsal) -> impl IntoView + use<> {
    let Drawn { draft, part, views, size: [width, _] } = drawn;
    let forecast = rehearsal.forecast.get();
    let marks = forecast.map(|f| ForecastMarks::all(&f.1, None, &views.plan)).unwrap_or_default();
    let marks: Vec<_> = marks.into_iter().flatten().collect();
    let note = marks.first().map(|marks| {
        let says = format(Key::ForecastDrawn, &[&marks.times.to_string()]);
        label("label note", Point::new(width - 12.0, PLAN_NAME), "end", says)
    });
    let dimensions = draft.as_ref().map(|draft| views.dimensions(draft, part)).unwrap_or_default();
    let places = spread_words(&marks, &dimensions, part, views, *width);
    let end = |(marks, places): (ForecastMarks, [Option<Point>; 2])| {
        let allowed = marks.tolerance_mm;
        let ends = marks.ends.into_iter().zip(places);
        ends.map(|(end, place)| {
            let class = if end.across <= allowed {
                "label forecast-words good"
            } else {
                "label forecast-words bad"
            };
            let says = end.words(allowed);
            view! {
                {end_mark(end)}
                {place.map(|at| label(class, at, "middle", says))}
            }
        })
        .collect_view()
    };
    view! {
        <g class="forecast" data-testid="own-spread">
            {marks.into_iter().zip(places).map(end).collect_view()}
            {note}
        </g>
    }
}

/// Radius of what a pointer lands on, pixels: a finger needs 44 across.
const TARGET: f64 = 22.0;
/// How far a key moves a touch, mm.
const KEY_MM: f64 = 1.0;

/// A touch with its number: where the wire feels, from the start of its search on. It slides along its face.
#[component]
fn TouchGrip(n: usize, drawn: Memo<Option<Drawn>>, grips: Grips) -> impl IntoView {
    let rehearsal = Rehearsal::here();
    let touch = Memo::new(move |_| {
        let drawn = drawn.read();
        let Drawn { part, views, .. } = drawn.as_ref()?;
        Some((part.model_touches.get(n)?.clone(), *views))
    });
    // As the routine feels them, where the forecast's words count.
    let number = Memo::new(move |_| {
        let (touch, _) = touch.get()?;
        let forecast = rehearsal.forecast.get()?;
        let mut felt = forecast.1.finds.iter().flat_map(|find| &find.touches);
        // Two walls of a gap are felt from one point.
        let direction = Vector3::from(touch.direction);
        let is_it = |felt: &PlannedTouch| {
            (felt.from - touch.from).norm() < 1e-6 && felt.direction.dot(&direction) > 0.0
        };
        felt.position(is_it).map(|n| n + 1)
    });
    let shown = move || number.get().unwrap_or(n + 1).to_string();
    let says = move || {
        let (ModelTouch { face, from, .. }, _) = touch.get()?;
        let [x, y] = [from.x, from.y].map(|mm| length(mm, 0));
        Some(format(Key::OwnTouch, &[&shown(), &face, &x, &y]))
    };
    let ends = Memo::new(move |_| {
        let (touch, views) = touch.get()?;
        Some(touch_ends(&touch, &views).into())
    });
    // A touch from above has no way on the plan.
    let way = move || ends.get().filter(|(from, to)| from.distance(*to) > 1.0);
    let line = move || way().map(|(from, to)| d(&Line::new(from, to)));
    let head = move || way().map(|(from, to)| d(&arrow_head(from, to, 7.0)));
    let at = move || {
        let (from, to) = ends.get().unwrap_or_default();
        ring_at(from, to)
    };
    let take = move |event: PointerEvent| {
        if let Some(views) = drawn.with_untracked(|d| d.as_ref().map(|d| d.views)) {
            grips.take(&event, Grip::Touch(n), views);
        }
    };
    let by_key = move |event: KeyboardEvent| {
        let Some(KeyCommand::Move([x, y, _])) = keys::command(Scope::OwnTouch, &event) else {
            return;
        };
        let by = Vector2::new(f64::from(x), f64::from(y)) * KEY_MM;
        if let Some(part) = rehearsal.part.get_untracked() {
            grips.move_touch(&part, n, by);
        }
    };
    view! {
        <g
            class="grip touch-grip"
            tabindex="0"
            role="application"
            data-testid="own-touch"
            aria-label=says
            on:pointerdown=take
            on:keydown=by_key
            on:touchstart=keep_page_still
        >
            <path class="search" d=line />
            <path class="search-head" d=head />
            {move || circle("target", at(), TARGET)}
            {move || circle("number-ring", at(), RING)}
            {move || label("number", at() + Vec2::new(0.0, 4.0), "middle", shown())}
        </g>
    }
}

/// The dimension lines; those that are filled in can be dragged.
fn dimensions(drawn: &Drawn, rehearsal: Rehearsal, grips: Grips) -> impl IntoView + use<> {
    let Drawn { draft: Some(draft), part, views, .. } = drawn else { return Vec::new() };
    let filled_in = rehearsal.dimensions();
    let pull = |of: &DrawnDimension| {
        let pull = views.pull(draft, of.dimension);
        pull.filter(|_| filled_in.contains(&of.dimension))
    };
    let all = views.dimensions(draft, part);
    let numbers = numbers(&all, part, views);
    let views = *views;
    all.into_iter()
        .zip(numbers)
        .map(|(of, number)| {
            let pull = pull(&of);
            drawn_dimension(of, number, rehearsal, move |event: PointerEvent| {
                if let Some(pull) = pull {
                    grips.take(&event, Grip::Dimension(of.dimension, pull), views);
                }
            })
            .into_any()
        })
        .collect()
}

/// A dimension line; that of the field one fills in stands out.
fn drawn_dimension(
    drawn: DrawnDimension,
    number: Number,
    rehearsal: Rehearsal,
    take: impl Fn(PointerEvent) + 'static,
) -> impl IntoView {
    let DrawnDimension { dimension, line, number: place, .. } = drawn;
    let Number { text, at, fits, .. } = number;
    let heads = line.heads.map(|head| view! { <path class="head" d=d(&head) /> });
    let lines = [line.witness[0], line.witness[1], line.shaft];
    let lines = lines.map(|line| view! { <path d=d(&line) /> });
    let words = label("label", at, "middle", text);
    let words = match place {
        NumberPlace::Above | NumberPlace::Right => words.into_any(),
        NumberPlace::Turned => {
            let [x, y] = [at.x, at.y].map(hundredth);
            let turn = format!("rotate(-90 {x} {y})");
            view! { <g transform=turn>{words}</g> }.into_any()
        }
    };
    let upright = line.shaft.p0.x == line.shaft.p1.x;
    view! {
        <g
            class="dimension grip"
            class:upright=upright
            class:unnamed=!fits
            class:at-hand=move || rehearsal.at_hand.get() == Some(dimension)
            data-testid=format!("drawn-{}", dimension.id())
            on:pointerdown=take
            on:touchstart=keep_page_still
        >
            <path class="hold" d=d(&line.shaft) />
            {lines}
            {heads}
            {words}
        </g>
    }
}
