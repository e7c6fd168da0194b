use super::SheetView;
use super::grip::{Grip, arrow};
use crate::app::desk::desk;
use crate::app::logic::number::mm;
use crate::app::logic::projection::Spot;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::geometry::Point3;

/// Millimetres an arrow key moves the torch, and with Shift.
const STEP: f64 = 5.0;
const FINE_STEP: f64 = 1.0;
/// A seam end this near on the sheet takes the wire, pixels.
const SNAP: f64 = 7.0;

/// Moves the torch by keys: arrows on the plan, Page Up and Page Down in height, Shift for fine.
fn torch_key(event: &web_sys::KeyboardEvent) {
    let desk = desk();
    let step = if event.shift_key() { FINE_STEP } else { STEP };
    let (x, y, z) = match (event.key().as_str(), arrow(event)) {
        (_, Some((x, y))) => (x, y, 0.0),
        ("PageUp", _) => (0.0, 0.0, 1.0),
        ("PageDown", _) => (0.0, 0.0, -1.0),
        ("Home", _) => {
            event.prevent_default();
            desk.hold_torch(desk.peek().part.rest);
            return;
        }
        _ => return,
    };
    event.prevent_default();
    let at = desk.hand.get_untracked();
    desk.hold_torch(Point3::new(at.x + x * step, at.y + y * step, (at.z + z * step).max(0.0)));
}

fn torch_label(at: &Point3<f64>) -> String {
    tell(Word::TorchAt, &[&mm(at.x, 1), &mm(at.y, 1), &mm(at.z, 1)])
}

/// The torch from above: nozzle ring and wire.
#[component]
pub(super) fn TorchPlan() -> impl IntoView {
    let desk = desk();
    let view = expect_context::<SheetView>();
    let grip = Grip::<Point3<f64>>::new(view);
    let drag = move |event: web_sys::PointerEvent| {
        let Some((from, to, start)) = grip.drag(&event) else { return };
        let layout = view.layout.get_untracked();
        let spot = layout.projection.plan(&start);
        let wanted = layout.plan.clamp(Spot::new(spot.x + to.x - from.x, spot.y + to.y - from.y));
        let state = desk.peek();
        let ends = state.part.seams.iter().flat_map(|s| [s.from, s.to]);
        let near = ends
            .map(|p| state.work_from_part.point(&p))
            .find(|p| layout.projection.plan(p).distance(wanted) < SNAP);
        let xy = layout.projection.plan_back(wanted);
        let (x, y) = near.map_or((xy.x.round(), xy.y.round()), |p| (p.x, p.y));
        desk.hold_torch(Point3::new(x, y, start.z));
    };
    view! {
        <g
            class="torch grip"
            data-testid="torch"
            tabindex="0"
            role="application"
            aria-roledescription=say(Word::Torch)
            aria-label=move || torch_label(&view.torch.get())
            on:keydown=move |event| torch_key(&event)
            on:pointerdown=move |event| grip.press(&event, view.torch.get_untracked())
            on:pointermove=drag
            on:pointerup=move |_| { grip.release(); }
            on:pointercancel=move |_| if let Some(start) = grip.release() { desk.hold_torch(start) }
        >
            {move || {
                let projection = view.layout.read().projection;
                let s = projection.plan(&view.torch.get());
                let state = desk.state();
                let ring = projection.px(state.settings.nozzle_mm / 2.0).max(7.0);
                let tip = projection.plan(&(view.torch.get() + state.bend));
                view! {
                    <circle class="target" cx=s.x cy=s.y r="22"/>
                    <circle class="nozzle" cx=s.x cy=s.y r=ring/>
                    <path class="cross" d=format!(
                        "M{} {y}h{d}M{} {y}h-{d}M{x} {}v{d}M{x} {}v-{d}",
                        s.x + ring, s.x - ring, s.y + ring, s.y - ring, x = s.x, y = s.y, d = 5.0,
                    )/>
                    <path class="bend" d=format!("M{} {}L{} {}", s.x, s.y, tip.x, tip.y)/>
                    <circle class="wire" cx=tip.x cy=tip.y r="2"/>
                }
            }}
        </g>
    }
}

/// The torch from the front: nozzle, stick-out, wire tip. Dragging it changes its height.
#[component]
pub(super) fn TorchSide() -> impl IntoView {
    let desk = desk();
    let view = expect_context::<SheetView>();
    let grip = Grip::<Point3<f64>>::new(view);
    let drag = move |event: web_sys::PointerEvent| {
        let Some((from, to, start)) = grip.drag(&event) else { return };
        let projection = view.layout.read_untracked().projection;
        let tip = projection.side(&start).y + to.y - from.y;
        let z = projection.height_back(tip).round().max(0.0);
        desk.hold_torch(Point3::new(start.x, start.y, z));
    };
    view! {
        <g
            class="torch side grip"
            data-testid="torch-height"
            tabindex="0"
            role="slider"
            aria-label=say(Word::TorchHeight)
            aria-orientation="vertical"
            aria-valuemin="0"
            aria-valuemax=move || view.torch.get().z.max(500.0).to_string()
            aria-valuenow=move || mm(view.torch.get().z, 1)
            aria-valuetext=move || format!("{} mm", mm(view.torch.get().z, 1))
            on:keydown=move |event| {
                let step = if event.shift_key() { FINE_STEP } else { STEP };
                let by = match event.key().as_str() {
                    "ArrowUp" | "PageUp" => step,
                    "ArrowDown" | "PageDown" => -step,
                    _ => return,
                };
                event.prevent_default();
                let at = desk.hand.get_untracked();
                desk.hold_torch(Point3::new(at.x, at.y, (at.z + by).max(0.0)));
            }
            on:pointerdown=move |event| grip.press(&event, view.torch.get_untracked())
            on:pointermove=drag
            on:pointerup=move |_| { grip.release(); }
            on:pointercancel=move |_| if let Some(start) = grip.release() { desk.hold_torch(start) }
        >
            {move || {
                let (projection, at, state) = (view.layout.read().projection, view.torch.get(), desk.state());
                let tip = projection.side(&at);
                let rim = projection.side_xz(at.x, at.z + state.stick_out_mm);
                let half = projection.px(state.settings.nozzle_mm / 2.0).max(6.0);
                let top = rim.y - 16.0;
                view! {
                    <rect class="target" x=tip.x - 22.0 y=top - 10.0 width="44" height=(tip.y - top + 20.0).max(44.0)/>
                    <path class="nozzle" d=format!(
                        "M{} {}L{} {top}H{}L{} {}Z",
                        rim.x - half, rim.y, rim.x - half * 0.7, rim.x + half * 0.7, rim.x + half, rim.y,
                    )/>
                    <path class="stick-out" d=format!("M{} {}V{}", tip.x, rim.y, tip.y)/>
                    <circle class="wire" cx=tip.x cy=tip.y r="2"/>
                    <text class="label" x=tip.x + half + 6.0 y=(rim.y - 4.0).min(tip.y - 2.0)>
                        {format!("{} mm", mm(at.z, 1))}
                    </text>
                }
            }}
        </g>
    }
}
