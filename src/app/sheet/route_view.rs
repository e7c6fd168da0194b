//! The way of the routine on the plan; while a run is on show, what of it is still to come.

use super::in_hand::InHand;
use super::shapes::{circle, label};
use super::sheet_view::SheetView;
use crate::app::logic::route_marks::{RouteMark, RouteStroke, route_marks, way_ahead};
use crate::app::logic::run_marks::still_to_come;
use crate::app::logic::svg_path::d;
use crate::app::workspace::workspace;
use kurbo::{Point, Triangle};
use leptos::prelude::*;

/// The way of the routine, and the way ahead to the torch in hand.
#[component]
pub(super) fn RouteOnPlan() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let hand = expect_context::<InHand>();
    let marks = Memo::new(move |_| {
        let all = route_marks(&hand.route.read(), &view.projection().plan);
        match workspace.at_beat() {
            Some((log, p)) => still_to_come(all, &workspace.routine(), &log, p.moment()),
            None => all,
        }
    });
    let views = move || {
        let cursor = workspace.cursor.get();
        // Between runs the touches of the last one have the numbers.
        let told = workspace.playback.run().is_none() && workspace.shown_run().is_some();
        let mark = |mark: RouteMark| {
            let chosen = cursor == Some(mark.step);
            route_mark(RouteMark { number: mark.number.filter(|_| !told), ..mark }, chosen)
        };
        marks.get().into_iter().map(mark).collect_view()
    };
    let ahead = move || {
        // A taught point is part of the route itself.
        let torch = hand.held.get().filter(|held| held.new_place)?.at;
        let taught = hand.taught.read();
        let (routine, cursor) = (workspace.routine(), workspace.cursor.get());
        let (cell, plan) = (taught.0.as_deref()?, view.projection().plan);
        let (line, head) = way_ahead(&routine, &hand.route.read(), cursor, &torch, cell, &plan)?;
        Some(view! {
            <path class="route ahead" data-testid="route-ahead" d=d(&line) />
            {head.map(|head| view! { <path class="route-head" d=d(&head) /> })}
        })
    };
    view! {
        <g
            class="routes"
            class:to-come=move || workspace.playback.run().is_some()
            data-testid="route"
        >
            {views}
            {ahead}
        </g>
    }
}

fn route_mark(mark: RouteMark, chosen: bool) -> impl IntoView {
    let class = match mark.stroke {
        RouteStroke::Travel => "route",
        RouteStroke::Sensing => "route sensing",
        RouteStroke::Feel if mark.misses => "route feel misses",
        RouteStroke::Feel => "route feel",
        RouteStroke::Follow => "route follow",
        RouteStroke::Weld => "route weld",
    };
    let head_class = match mark.stroke {
        RouteStroke::Travel => "route-head",
        RouteStroke::Sensing | RouteStroke::Feel => "route-head sensing",
        RouteStroke::Follow => "route-head follow",
        RouteStroke::Weld => "route-head weld",
    };
    let ticks = mark.ticks.map(|line| {
        view! {
            <path class="route weld-line" d=d(&line) />
            <path class="route weld-ticks" d=d(&line) />
        }
    });
    let head = |head: Triangle| view! { <path class=head_class d=d(&head) /> };
    let number = |(number, at): (usize, Point)| {
        view! {
            {circle("route-disc", at, 8.0)}
            {label("route-number", at + (0.0, 4.0), "middle", number.to_string())}
        }
    };
    view! {
        <g class:chosen=chosen>
            <path class=class d=d(&mark.line) />
            {ticks}
            {mark.down.map(|at| circle("route down", at, 9.0))}
            {mark.head.map(head)}
            {mark.number.map(number)}
        </g>
    }
}
