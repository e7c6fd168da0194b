use super::SheetView;
use super::grip::{Grip, arrow, height_key};
use crate::app::dom::{View, svg};
use crate::app::i18n::{Key, format};
use crate::app::logic::layout::Rect;
use crate::app::logic::number::{length, length_unit};
use crate::app::logic::projection::{Projection, ScreenPoint};
use crate::app::logic::svg_path;
use crate::app::logic::svg_writer::SvgWriter;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::session::State;

/// Millimetres an arrow key moves the torch, and with Shift.
const STEP: f64 = 5.0;
const FINE_STEP: f64 = 1.0;
/// A seam end this near on the sheet takes the wire, pixels.
const SNAP: f64 = 7.0;

/// Moves the torch by keys: arrows on the plan, Page Up and Page Down in height, Shift for fine.
fn torch_key(event: &web_sys::KeyboardEvent) {
    let workspace = workspace();
    let step = if event.shift_key() { FINE_STEP } else { STEP };
    let (x, y, z) = match (event.key().as_str(), arrow(event)) {
        (_, Some((x, y))) => (x, y, 0.0),
        ("PageUp", _) => (0.0, 0.0, 1.0),
        ("PageDown", _) => (0.0, 0.0, -1.0),
        ("Home", _) => {
            event.prevent_default();
            workspace.hold_torch(workspace.state_untracked().part.rest);
            return;
        }
        _ => return,
    };
    event.prevent_default();
    let at = workspace.hand.get_untracked();
    workspace.hold_torch(Point3::new(at.x + x * step, at.y + y * step, (at.z + z * step).max(0.0)));
}

fn torch_label(at: &Point3<f64>) -> String {
    format(Key::TorchAt, &[&length(at.x, 1), &length(at.y, 1), &length(at.z, 1)])
}

/// The torch from above: nozzle ring and wire.
pub(super) fn torch_plan() -> View {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let grip = Grip::<Point3<f64>>::new(view);
    let drag = move |from: ScreenPoint, to: ScreenPoint, start: Point3<f64>| {
        let layout = view.layout.get_untracked();
        let spot = layout.projection.plan(&start);
        let wanted =
            layout.plan.clamp(ScreenPoint::new(spot.x + to.x - from.x, spot.y + to.y - from.y));
        let (part, lies) = (untrack(|| workspace.part()), workspace.state_untracked().part_shown());
        let ends = part.seams.iter().flat_map(|s| [s.from, s.to]);
        let near = ends
            .map(|p| lies.point(&p))
            .find(|p| layout.projection.plan(p).distance(wanted) < SNAP);
        let xy = layout.projection.plan_back(wanted);
        let (x, y) = near.map_or((xy.x.round(), xy.y.round()), |p| (p.x, p.y));
        workspace.hold_torch(Point3::new(x, y, start.z));
    };
    // The sign is drawn once, about its own middle; only its place changes with the frames.
    let sign = move || from_above(&workspace.state(), &view.projection());
    let place = move || svg_path::moved_to(view.projection().plan(&view.torch.get()));
    let element = svg("g")
        .class("torch grip")
        .html(sign)
        .attr("transform", place)
        .test_id("torch")
        .attr("tabindex", "0")
        .attr("role", "application")
        .attr("aria-roledescription", Key::Torch)
        .attr("aria-label", move || torch_label(&view.torch_told.get()))
        .on("keydown", move |event: web_sys::KeyboardEvent| torch_key(&event))
        .on("pointerdown", move |event: web_sys::PointerEvent| {
            grip.press(&event, view.torch.get_untracked());
        });
    grip.moves(element, drag, |_| {}, move |start| workspace.hold_torch(start))
}

/// The torch from the front: nozzle, stick-out, wire tip. Dragging it changes its height.
pub(super) fn torch_side() -> View {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let grip = Grip::<Point3<f64>>::new(view);
    let drag = move |from: ScreenPoint, to: ScreenPoint, start: Point3<f64>| {
        let projection = view.layout.read_untracked().projection;
        let tip = projection.side(&start).y + to.y - from.y;
        let z = projection.height_back(tip).round().max(0.0);
        workspace.hold_torch(Point3::new(start.x, start.y, z));
    };
    // As from above; but heights are drawn to two scales, so the torch has another shape where it
    // crosses from one to the other.
    let shape =
        Memo::new(move |_| Front::of(&view.torch.get(), &workspace.state(), &view.projection()));
    let place = move || svg_path::moved_to(view.projection().side(&view.torch.get()));
    let label = Memo::new(move |_| shape.read().label());
    let element = svg("g")
        .class("torch side grip")
        .attr("transform", place)
        .test_id("torch-height")
        .attr("tabindex", "0")
        .attr("role", "slider")
        .attr("aria-label", Key::TorchHeight)
        .attr("aria-orientation", "vertical")
        .attr("aria-valuemin", "0")
        .attr("aria-valuemax", move || view.torch_told.get().z.max(500.0).to_string())
        .attr("aria-valuenow", move || length(view.torch_told.get().z, 1))
        .attr("aria-valuetext", move || length_unit(view.torch_told.get().z, 1))
        .on("keydown", move |event: web_sys::KeyboardEvent| {
            let Some(by) = height_key(&event, [STEP, FINE_STEP]) else { return };
            event.prevent_default();
            let at = workspace.hand.get_untracked();
            workspace.hold_torch(Point3::new(at.x, at.y, (at.z + by).max(0.0)));
        })
        .on("pointerdown", move |event: web_sys::PointerEvent| {
            grip.press(&event, view.torch.get_untracked());
        })
        .child(svg("g").html(move || shape.read().markup()))
        .child(
            svg("text")
                .class("label")
                .attr("x", move || label.get().x)
                .attr("y", move || label.get().y)
                .text(move || length_unit(view.torch.get().z, 1)),
        );
    grip.moves(element, drag, |_| {}, move |start| workspace.hold_torch(start))
}

fn from_above(state: &State, projection: &Projection) -> String {
    let (s, bend) = (ScreenPoint::new(0.0, 0.0), state.bend_shown());
    let tip = ScreenPoint::new(projection.px(bend.x), -projection.px(bend.y));
    let ring = projection.px(state.settings.nozzle_mm / 2.0).max(7.0);
    let (x, y) = (s.x, s.y);
    let cross = format!(
        "M{:.2} {y:.2}h5M{:.2} {y:.2}h-5M{x:.2} {:.2}v5M{x:.2} {:.2}v-5",
        x + ring,
        x - ring,
        y + ring,
        y - ring,
    );
    let mut m = SvgWriter::default();
    m.circle("target", s, 22.0)
        .circle("nozzle", s, ring)
        .path("cross", &cross)
        .path("bend", &svg_path::segment(s, tip))
        .circle("wire", tip, 2.0);
    m.finish()
}

/// The torch from the front, pixels about the place where the tip of a straight wire of the taught
/// length is drawn, to the hundredth.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Front {
    /// Height of the rim of the nozzle.
    rim: f64,
    /// The tip of the wire, where its length and its bend have it end.
    tip: ScreenPoint,
    half: f64,
}

impl Front {
    fn of(at: &Point3<f64>, state: &State, projection: &Projection) -> Self {
        // The rim stands where it stood when the points were taught.
        let (taught, now) = (state.settings.stick_out_mm, state.stick_out_shown());
        let o = projection.side(at);
        let tip = projection.side(&(at + state.bend_shown() - Vector3::z() * (now - taught)));
        let fine = |px: f64| (px * 100.0).round() / 100.0;
        Self {
            rim: fine(projection.side_xz(at.x, at.z + taught).y - o.y),
            tip: ScreenPoint::new(fine(tip.x - o.x), fine(tip.y - o.y)),
            half: projection.px(state.settings.nozzle_mm / 2.0).max(6.0),
        }
    }

    /// Where the height is written.
    fn label(&self) -> ScreenPoint {
        let beside = self.tip.x + self.half + 6.0;
        ScreenPoint::new(beside, (self.rim - 4.0).min(self.tip.y - 2.0))
    }

    fn markup(&self) -> String {
        let Self { rim, tip, half } = *self;
        let top = rim - 16.0;
        let wire = format!("M0 {rim}Q0 {} {} {}", tip.y, tip.x, tip.y);
        let nozzle = [(-half, rim), (-half * 0.7, top), (half * 0.7, top), (half, rim)];
        let nozzle = nozzle.map(|(x, y)| ScreenPoint::new(x, y));
        let tall = (tip.y - top + 20.0).max(44.0);
        let mut m = SvgWriter::default();
        m.rect("target", &Rect::new(tip.x - 22.0, top - 10.0, 44.0, tall))
            .path("nozzle", &svg_path::line(&nozzle, true))
            .path("stick-out", &wire)
            .circle("wire", tip, 2.0);
        m.finish()
    }
}
