use super::SheetView;
use crate::app::desk::desk;
use crate::app::dom::{View, several, svg};
use crate::app::logic::dimension::arrow_head;
use crate::app::logic::layout::{Layout, Rect};
use crate::app::logic::markup::Markup;
use crate::app::logic::projection::Spot;
use crate::app::logic::{ink, projection::Projection};
use crate::app::words::{Word, tell};
use leptos::prelude::*;
use nudgeproof::data::sort_short;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{Act, REACH, Routine, StepId, TaughtPoint};
use wasm_bindgen::JsCast;

/// Taught points with their names, and the searches that start at them. A press on a point brings
/// the torch there.
pub(super) fn points_plan() -> View {
    let desk = desk();
    let view = expect_context::<SheetView>();
    let searches = move || searches(&desk.routine(), desk.cursor.get(), &view.projection());
    let points = move || {
        let middle = Point3::from(desk.part().play.about);
        view.layout.with(|l| points(&desk.routine(), desk.cursor.get(), &middle, l))
    };
    let bring = move |event: web_sys::MouseEvent| {
        let name = event
            .target()
            .and_then(|t| t.dyn_into::<web_sys::Element>().ok())
            .and_then(|e| e.closest("[data-point]").ok().flatten())
            .and_then(|e| e.get_attribute("data-point"));
        if let Some(at) = name.and_then(|n| desk.peek().routine.point(&n).map(|p| p.at)) {
            desk.hold_torch(at);
        }
    };
    several()
        .child(svg("g").class("searches").html(searches))
        .child(svg("g").class("points").test_id("points").html(points).on("click", bring))
}

fn searches(routine: &Routine, cursor: Option<StepId>, projection: &Projection) -> String {
    let mut m = Markup::default();
    let reach = routine.plans.first().map_or(REACH, |p| p.reach_mm);
    for step in &routine.steps {
        let Act::Probe { from, direction, .. } = &step.act else { continue };
        let Some(start) = routine.point(from).map(|p| p.at) else { continue };
        let (a, b) = (projection.plan(&start), projection.plan(&(start + direction * reach)));
        if direction.z < -0.5 {
            // Down into the sheet: a ring, as a drawing shows an arrow from behind.
            m.circle("search", a, 9.0);
        } else if a.distance(b) > 1.0 {
            let chosen = cursor == Some(step.id);
            m.path(if chosen { "search chosen" } else { "search" }, &ink::segment(a, b));
            m.path("search-head", &ink::line(&arrow_head(a, b, 7.0), true));
        }
    }
    m.finish()
}

fn points(
    routine: &Routine,
    cursor: Option<StepId>,
    middle: &Point3<f64>,
    layout: &Layout,
) -> String {
    let mut m = Markup::default();
    let chosen =
        cursor.and_then(|id| routine.index_of(id)).and_then(|i| routine.steps[i].act.point());
    let mut taken: Vec<Rect> = Vec::new();
    // From the top down: a name that has to give way goes down, and not past its neighbour's.
    let mut points: Vec<_> = routine.points.iter().collect();
    sort_short(&mut points, |a, b| a.at.y > b.at.y);
    for p in points {
        let s = layout.projection.plan(&p.at);
        let (label, anchor) = label_spot(s, p, middle, &layout.plan, &mut taken);
        let class = if chosen == Some(&*p.name) { "point chosen" } else { "point" };
        let test_id = format!("point-{}", p.name);
        m.open(class, &[("data-point", &p.name), ("data-testid", &test_id)])
            .title(&tell(Word::BringTorchTo, &[&p.name]))
            .circle("target", s, 12.0)
            .path("", &ink::cross(s, 4.0))
            .label("label", label, &p.name, anchor)
            .close();
    }
    m.finish()
}

/// Width of a letter of a point's name and height of its line, pixels, in the projector's size.
const LETTER: (f64, f64) = (8.5, 11.5);

/// Where a point's name stands: on the side away from the middle of the part unless it would leave
/// the plan there, below any name already there.
fn label_spot(
    s: Spot,
    point: &TaughtPoint,
    middle: &Point3<f64>,
    plan: &Rect,
    taken: &mut Vec<Rect>,
) -> (Spot, &'static str) {
    let wide = point.name.chars().count() as f64 * LETTER.0;
    let room = wide + 12.0;
    let left = point.at.x < middle.x && s.x - room > plan.x || s.x + room > plan.right();
    let (dx, from, anchor) = if left { (-8.0, -8.0 - wide, "end") } else { (8.0, 8.0, "start") };
    let mut place = Rect::new(s.x + from, s.y + 4.0, wide, LETTER.1);
    while taken.iter().any(|t| t.overlaps(&place)) {
        place.y += LETTER.1;
    }
    taken.push(place);
    (Spot::new(s.x + dx, place.y), anchor)
}
