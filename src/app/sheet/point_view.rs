use super::SheetView;
use super::fixture_view::clamp_spot;
use crate::app::dom::{View, several, svg};
use crate::app::i18n::{Key, format};
use crate::app::logic::dimension::arrow_head;
use crate::app::logic::layout::{Layout, Rect};
use crate::app::logic::projection::ScreenPoint;
use crate::app::logic::svg_writer::SvgWriter;
use crate::app::logic::{projection::Projection, svg_path};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::{Body, Part};
use nudgeproof::data::sort_short;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{DEFAULT_REACH_MM, Instruction, Routine, StepId, TaughtPoint};
use wasm_bindgen::JsCast;

/// Taught points with their names, and the searches that start at them. A press on a point brings
/// the torch there.
pub(super) fn points_plan() -> View {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let searches =
        move || searches(&workspace.routine(), workspace.cursor.get(), &view.projection());
    let points = move || {
        view.layout
            .with(|l| points(&workspace.routine(), workspace.cursor.get(), &workspace.part(), l))
    };
    let bring = move |event: web_sys::MouseEvent| {
        let name = event
            .target()
            .and_then(|t| t.dyn_into::<web_sys::Element>().ok())
            .and_then(|e| e.closest("[data-point]").ok().flatten())
            .and_then(|e| e.get_attribute("data-point"));
        if let Some(at) =
            name.and_then(|n| workspace.state_untracked().routine.point(&n).map(|p| p.at))
        {
            workspace.hold_torch(at);
        }
    };
    several()
        .child(svg("g").class("searches").html(searches))
        .child(svg("g").class("points").test_id("points").html(points).on("click", bring))
}

fn searches(routine: &Routine, cursor: Option<StepId>, projection: &Projection) -> String {
    let mut m = SvgWriter::default();
    let reach = routine.plans.first().map_or(DEFAULT_REACH_MM, |p| p.reach_mm);
    for step in &routine.steps {
        let Instruction::Probe { from, direction, .. } = &step.instruction else { continue };
        let Some(start) = routine.point(from).map(|p| p.at) else { continue };
        let (a, b) = (projection.plan(&start), projection.plan(&(start + direction * reach)));
        if direction.z < -0.5 {
            // Down into the sheet: a ring, as a drawing shows an arrow from behind.
            m.circle("search", a, 9.0);
        } else if a.distance(b) > 1.0 {
            let chosen = cursor == Some(step.id);
            m.path(if chosen { "search chosen" } else { "search" }, &svg_path::segment(a, b));
            m.path("search-head", &svg_path::line(&arrow_head(a, b, 7.0), true));
        }
    }
    m.finish()
}

fn points(routine: &Routine, cursor: Option<StepId>, part: &Part, layout: &Layout) -> String {
    let mut m = SvgWriter::default();
    let chosen = cursor
        .and_then(|id| routine.index_of(id))
        .and_then(|i| routine.steps[i].instruction.point());
    let mut taken = not_for_names(part, routine, layout);
    // From the top down: a name that has to give way rather goes down, and not past its neighbour's.
    let mut points: Vec<_> = routine.points.iter().collect();
    sort_short(&mut points, |a, b| a.at.y > b.at.y);
    let middle = Point3::from(part.play.about);
    for p in points {
        let s = layout.projection.plan(&p.at);
        let (label, anchor) = label_spot(s, p, &middle, layout, &mut taken);
        let class = if chosen == Some(&*p.name) { "point chosen" } else { "point" };
        let test_id = format!("point-{}", p.name);
        m.open(class, &[("data-point", &p.name), ("data-testid", &test_id)])
            .title(&format(Key::BringTorchTo, &[&p.name]))
            .circle("target", s, 12.0)
            .path("", &svg_path::cross(s, 4.0))
            .label("label", label, &p.name, anchor)
            .close();
    }
    m.finish()
}

/// Height of a line of a point's name, pixels.
const LINE: f64 = 11.5;

/// What no name may stand on, as long as there is room elsewhere: the points, the places where the
/// numbers of touches come to stand, the names of clamps.
fn not_for_names(part: &Part, routine: &Routine, layout: &Layout) -> Vec<Rect> {
    let projection = &layout.projection;
    let about = |s: ScreenPoint, wide: f64| Rect::new(s.x - wide / 2.0, s.y - 5.0, wide, 10.0);
    let mut taken: Vec<_> =
        routine.points.iter().map(|p| about(projection.plan(&p.at), 10.0)).collect();
    for step in &routine.steps {
        if let Instruction::Probe { from, direction, .. } = &step.instruction
            && let Some(p) = routine.point(from)
        {
            let s = projection.plan(&p.at);
            taken.push(about(
                ScreenPoint::new(s.x - direction.y.abs() * 9.0, s.y - direction.x.abs() * 9.0),
                9.0,
            ));
        }
    }
    let named = |clamp: &Body| {
        about(clamp_spot(clamp, projection), clamp.name.chars().count() as f64 * layout.letter)
    };
    taken.extend(part.clamps.iter().map(named));
    taken
}

/// Where a point's name stands: on the side away from the middle of the part unless it would leave
/// the plan there; a line further down or up, or on the other side, where something is in the way.
fn label_spot(
    s: ScreenPoint,
    point: &TaughtPoint,
    middle: &Point3<f64>,
    layout: &Layout,
    taken: &mut Vec<Rect>,
) -> (ScreenPoint, &'static str) {
    let wide = point.name.chars().count() as f64 * layout.letter;
    let (room, plan) = (wide + 12.0, &layout.plan);
    let left = point.at.x < middle.x && s.x - room > plan.x || s.x + room > plan.right();
    let place = |left: bool, line: f64| {
        let x = s.x + if left { -8.0 - wide } else { 8.0 };
        Rect::new(x, s.y - 5.0 + line * LINE, wide, LINE - 1.0)
    };
    let lines = [0.0, 1.0, -1.0, 2.0, -2.0];
    let places = [left, !left].into_iter().flat_map(|l| lines.map(|line| (l, line)));
    let free =
        |p: &Rect| p.x > plan.x && p.right() < plan.right() && !taken.iter().any(|t| t.overlaps(p));
    let (left, line) = places.clone().find(|(l, n)| free(&place(*l, *n))).unwrap_or((left, 0.0));
    let at = place(left, line);
    let label = ScreenPoint::new(if left { at.right() } else { at.x }, s.y + 4.0 + line * LINE);
    taken.push(at);
    (label, if left { "end" } else { "start" })
}
