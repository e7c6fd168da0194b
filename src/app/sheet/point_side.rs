//! Taught points and searches in the elevation: a point is dragged in height here, or moved by keys.

use super::SheetView;
use super::grip::{Grip, height_key};
use crate::app::dom::{View, each, svg};
use crate::app::i18n::{Key, format};
use crate::app::logic::dimension::arrow_head;
use crate::app::logic::number::{length, length_unit};
use crate::app::logic::projection::ScreenPoint;
use crate::app::logic::svg_path;
use crate::app::logic::svg_writer::SvgWriter;
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{DEFAULT_REACH_MM, Instruction, Runner};
use nudgeproof::session::Action;

/// Millimetres an arrow key moves a point, and with Shift.
const STEP: f64 = 1.0;
const FINE_STEP: f64 = 0.1;

/// Gives a taught point another height; where it stands on the plan stays.
pub(crate) fn set_height(workspace: Workspace, point: &str, z: f64) {
    let state = workspace.state_untracked();
    let Some(taught) = state.routine.point(point) else { return };
    let stored = Point3::new(taught.at.x, taught.at.y, z.max(0.0));
    // A point is stored in the frame that is active: hand it over as it lies in that frame.
    let active = state.paused.as_ref().and_then(Runner::active_offset);
    let at = active.map_or(stored, |offset| offset.point(&stored));
    if (taught.at.z - stored.z).abs() > 1e-9
        && workspace.act(Action::Teach { point: point.into(), at })
    {
        workspace.notify(format(Key::PointHeightIs, &[point, &length(stored.z, 1)]));
    }
}

/// The points, each a grip that moves up and down.
pub(super) fn points_side() -> View {
    let workspace = workspace();
    let names = Memo::new(move |_| {
        workspace.routine().points.iter().map(|p| p.name.clone()).collect::<Vec<_>>()
    });
    svg("g").class("points").test_id("points-side").child(each(move || names.get(), point_side))
}

fn point_side(name: String) -> View {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let grip = Grip::<f64>::new(view);
    let dragged = RwSignal::new(None::<f64>);
    let name = Signal::stored(name);
    let taught = Memo::new(move |_| name.with(|n| workspace.routine().point(n).map(|p| p.at)));
    let at = move || {
        let p = taught.get().unwrap_or_else(Point3::origin);
        Point3::new(p.x, p.y, dragged.get().unwrap_or(p.z))
    };
    let height = move || taught.get().map_or(0.0, |p| p.z);
    let by_key = move |event: web_sys::KeyboardEvent| {
        let Some(by) = height_key(&event, [STEP, FINE_STEP]) else { return };
        event.prevent_default();
        let z = ((untrack(height) + by) * 10.0).round() / 10.0;
        name.with(|n| set_height(workspace, n, z));
    };
    let drag = move |from: ScreenPoint, to: ScreenPoint, start: f64| {
        let projection = view.layout.read_untracked().projection;
        let y = projection.side_xz(0.0, start).y + to.y - from.y;
        dragged.set(Some((projection.height_back(y) * 2.0).round().max(0.0) / 2.0));
    };
    let drop = move |_: f64| {
        let z = dragged.get_untracked();
        dragged.set(None);
        if let Some(z) = z {
            name.with(|n| set_height(workspace, n, z));
        }
    };
    let sign = move || {
        let (s, mut m) = (view.projection().side(&at()), SvgWriter::default());
        m.title(&format(Key::HeightOf, &[&name.get()]));
        m.circle("target", s, 12.0).path("point", &svg_path::cross(s, 3.0));
        if let Some(z) = dragged.get() {
            let beside = ScreenPoint::new(s.x + 10.0, s.y + 4.0);
            m.label("label", beside, &length_unit(z, 1), "start");
        }
        m.finish()
    };
    let element = svg("g")
        .class("point-height grip")
        .test_id(move || format!("height-{}", name.get()))
        .attr("tabindex", "0")
        .attr("role", "slider")
        .attr("aria-orientation", "vertical")
        .attr("aria-label", move || format(Key::HeightOf, &[&name.get()]))
        .attr("aria-valuemin", "0")
        .attr("aria-valuemax", move || height().max(500.0).to_string())
        .attr("aria-valuenow", move || length(height(), 1))
        .attr("aria-valuetext", move || length_unit(height(), 1))
        .on("keydown", by_key)
        .on("pointerdown", move |event: web_sys::PointerEvent| grip.press(&event, untrack(height)))
        .html(sign);
    grip.moves(element, drag, drop, move |_| dragged.set(None))
}

/// The searches, as far as they show from the front.
pub(super) fn searches_side() -> View {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let lines = move || {
        let (routine, projection, mut m) =
            (workspace.routine(), view.projection(), SvgWriter::default());
        let reach = routine.plans.first().map_or(DEFAULT_REACH_MM, |p| p.reach_mm);
        for step in &routine.steps {
            let Instruction::Probe { from, direction, .. } = &step.instruction else { continue };
            let Some(start) = routine.point(from).map(|p| p.at) else { continue };
            let (a, b) = (projection.side(&start), projection.side(&(start + direction * reach)));
            if a.distance(b) > 1.0 {
                let chosen = workspace.cursor.get() == Some(step.id);
                m.path(if chosen { "search chosen" } else { "search" }, &svg_path::segment(a, b));
                m.path("search-head", &svg_path::line(&arrow_head(a, b, 6.0), true));
            }
        }
        m.finish()
    };
    svg("g").class("searches").test_id("searches-side").html(lines)
}
