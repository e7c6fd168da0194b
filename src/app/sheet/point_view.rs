use super::SheetView;
use crate::app::desk::desk;
use crate::app::logic::dimension::arrow_head;
use crate::app::logic::ink;
use crate::app::logic::layout::Rect;
use crate::app::logic::projection::Spot;
use crate::app::words::{Word, tell};
use leptos::prelude::*;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{Act, REACH, TaughtPoint};

/// Taught points with their names, and the searches that start at them.
#[component]
pub(super) fn PointsPlan() -> impl IntoView {
    let desk = desk();
    let view = expect_context::<SheetView>();
    let middle = move || Point3::from(desk.part().play.about);
    view! {
        <g class="searches">
            {move || {
                let (routine, projection) = (desk.routine(), view.layout.read().projection);
                let reach = routine.plans.first().map_or(REACH, |p| p.reach_mm);
                routine.steps.iter().filter_map(|step| {
                    let Act::Probe { from, direction, .. } = &step.act else { return None };
                    let start = routine.point(from)?.at;
                    let (a, b) = (projection.plan(&start), projection.plan(&(start + direction * reach)));
                    (a.distance(b) > 1.0).then(|| {
                        let head = arrow_head(a, b, 7.0);
                        let chosen = desk.cursor.get() == Some(step.id);
                        view! {
                            <path class="search" class:chosen=chosen d=ink::segment(a, b)/>
                            <path class="search-head" class:chosen=chosen d=ink::line(&head, true)/>
                        }
                    })
                }).collect_view()
            }}
        </g>
        <g class="points" data-testid="points">
            {move || {
                let (routine, projection) = (desk.routine(), view.layout.read().projection);
                let chosen = desk.cursor.get()
                    .and_then(|id| routine.index_of(id))
                    .and_then(|i| routine.steps[i].act.point().map(str::to_owned));
                let mut taken: Vec<Spot> = Vec::new();
                routine.points.iter().map(|p| {
                    let s = projection.plan(&p.at);
                    let (label, anchor) = label_spot(s, p, &middle(), &view.layout.read().plan, &mut taken);
                    let (at, name) = (p.at, p.name.clone());
                    let class = if chosen.as_deref() == Some(&*p.name) { "point chosen" } else { "point" };
                    let bring = tell(Word::BringTorchTo, &[&p.name]);
                    view! {
                        <g class=class data-testid=format!("point-{}", p.name)
                            on:click=move |_| desk.hold_torch(at)>
                            <circle class="target" cx=s.x cy=s.y r="12"><title>{bring}</title></circle>
                            <path d=format!("M{} {}l8 8m0 -8l-8 8", s.x - 4.0, s.y - 4.0)/>
                            <text class="label-back" x=label.x y=label.y text-anchor=anchor>{name.clone()}</text>
                            <text class="label" x=label.x y=label.y text-anchor=anchor>{name}</text>
                        </g>
                    }
                }).collect_view()
            }}
        </g>
    }
}

/// Where a point's name stands: on the side away from the middle of the part unless it would leave
/// the plan there, below any name already there.
fn label_spot(
    s: Spot,
    point: &TaughtPoint,
    middle: &Point3<f64>,
    plan: &Rect,
    taken: &mut Vec<Spot>,
) -> (Spot, &'static str) {
    let wide = point.name.chars().count() as f64 * 7.0 + 12.0;
    let left = point.at.x < middle.x && s.x - wide > plan.x || s.x + wide > plan.right();
    let (dx, anchor) = if left { (-8.0, "end") } else { (8.0, "start") };
    let mut spot = Spot::new(s.x + dx, s.y + 4.0);
    while taken.iter().any(|t| (t.x - spot.x).abs() < 60.0 && (t.y - spot.y).abs() < 11.0) {
        spot.y += 12.0;
    }
    taken.push(spot);
    (spot, anchor)
}
