use super::SheetView;
use crate::app::desk::desk;
use crate::app::logic::shown::{legs_until, searches_until, welds_until};
use crate::app::logic::{ink, projection::Spot};
use leptos::prelude::*;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{Act, Leg, LegKind, Routine, SearchOutcome};

fn leg_class(leg: &Leg) -> &'static str {
    match (leg.kind, leg.follows.is_some()) {
        (LegKind::Search, _) => "way searched",
        (LegKind::Weld, _) => "way welded",
        (_, true) => "way carried",
        (_, false) => "way",
    }
}

/// The path as taught of the moves that follow the part.
fn taught_path(routine: &Routine) -> Vec<Point3<f64>> {
    let mut following = false;
    let mut out = Vec::new();
    for step in &routine.steps {
        match &step.act {
            Act::Follow { .. } => following = true,
            Act::StopFollowing => following = false,
            act if following => {
                out.extend(act.point().and_then(|n| routine.point(n)).map(|p| p.at));
            }
            _ => {}
        }
    }
    out
}

/// The way of the run on show, what it touched and where it welded; the taught path under it.
#[component]
pub(super) fn RunPlan() -> impl IntoView {
    let desk = desk();
    let view = expect_context::<SheetView>();
    view! {
        <path class="way taught" d=move || {
            ink::way_plan(&taught_path(&desk.routine()), &view.layout.read().projection)
        }/>
        <g class="run" data-testid="run-path">
            {move || desk.on_show().map(|(log, _)| {
                let projection = view.layout.read().projection;
                log.legs.iter().map(|leg| view! {
                    <path class=format!("{} ahead", leg_class(leg)) d=ink::way_plan(&leg.path, &projection)/>
                }).collect_view()
            })}
            {move || desk.on_show().map(|(log, p)| {
                let projection = view.layout.read().projection;
                legs_until(&log, p.t).map(|(leg, share)| {
                    let path = ink::head(&leg.path, share);
                    view! { <path class=leg_class(leg) d=ink::way_plan(&path, &projection)/> }
                }).collect_view()
            })}
        </g>
        <g class="touches" data-testid="touches">
            {move || {
                let log = desk.shown_run()?;
                let t = desk.on_show().map_or(log.duration, |(_, p)| p.t);
                let projection = view.layout.read().projection;
                Some(searches_until(&log, t).map(|(i, search)| {
                    let (s, found) = match &search.outcome {
                        SearchOutcome::Touch { contact, .. } => (projection.plan(contact), true),
                        _ => (projection.plan(&log.torch_at(search.time).unwrap_or(search.start)), false),
                    };
                    touch_mark(s, i + 1, found, search.direction.x, -search.direction.y)
                }).collect_view())
            }}
        </g>
        <g class="beads" data-testid="beads">
            {move || {
                let log = desk.shown_run()?;
                let t = desk.on_show().map_or(log.duration, |(_, p)| p.t);
                let projection = view.layout.read().projection;
                Some(welds_until(&log, t).map(|w| {
                    let class = if w.landed { "bead landed" } else { "bead missed" };
                    view! { <path class=class d=ink::way_plan(&w.wire, &projection)/> }
                }).collect_view())
            }}
        </g>
    }
}

/// A touch: a bar across the search with its number behind it; a cross where nothing was found.
fn touch_mark(s: Spot, number: usize, found: bool, dx: f64, dy: f64) -> impl IntoView {
    let n = dx.hypot(dy);
    let (ux, uy) = if n > 1e-6 { (dx / n, dy / n) } else { (0.0, 1.0) };
    let label = Spot::new(s.x - ux * 13.0 - uy.abs() * 9.0, s.y - uy * 13.0 + 4.0 - ux.abs() * 9.0);
    let d = if found {
        let (ax, ay) = (-uy * 6.0, ux * 6.0);
        format!("M{} {}L{} {}", s.x - ax, s.y - ay, s.x + ax, s.y + ay)
    } else {
        format!("M{} {}l10 10m0 -10l-10 10", s.x - 5.0, s.y - 5.0)
    };
    view! {
        <g class=if found { "touch" } else { "touch failed" } data-touch=number>
            <path d=d/>
            <circle cx=s.x cy=s.y r="2.5"/>
            <text class="label-back" x=label.x y=label.y>{number}</text>
            <text class="label" x=label.x y=label.y>{number}</text>
        </g>
    }
}
