use super::arc_view::ArcSign;
use super::drag::{Drag, height_key, keep_page_still};
use super::in_hand::InHand;
use super::shapes::{circle, rect};
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, format, text};
use crate::app::keys::{self, KeyCommand, Scope, shortcuts};
use crate::app::logic::number::{length, length_unit};
use crate::app::logic::svg_path::{d, hundredth, polygon, polyline, translate};
use crate::app::logic::torch_shape::{TorchAbove, TorchFront};
use crate::app::panels::panels;
use crate::app::workspace::{Workspace, workspace};
use kurbo::{BezPath, Point, Shape};
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Vector3};
use web_sys::{KeyboardEvent, PointerEvent};

/// Step of a key that moves the torch, mm, and with Shift.
const STEPS: [f64; 2] = [5.0, 1.0];
/// Ten of them, by a key with Control.
const LEAP: f64 = 50.0;

/// Room for the height of the torch, and for the scale of heights, in mean letters.
const HEIGHT: f64 = 8.0;
const SCALE: f64 = 6.0;

/// Moves the torch by keys: arrows on the plan, Page Up and Page Down in height, Home to where it
/// rests, End to the height at which sides are felt.
fn move_by_key(workspace: Workspace, hand: InHand, event: &KeyboardEvent) {
    let [step, fine] = STEPS;
    let step = if event.shift_key() { fine } else { step };
    let at = workspace.hand.get_untracked();
    let to = match keys::command(Scope::Torch, event) {
        Some(KeyCommand::Move(axes)) => at + Vector3::from(axes.map(f64::from)) * step,
        Some(KeyCommand::Leap([x, y])) => at + Vector3::new(x.into(), y.into(), 0.0) * LEAP,
        Some(KeyCommand::ToFeelHeight) => Point3::new(at.x, at.y, hand.feel_height(workspace)),
        Some(KeyCommand::ToRest) => workspace.state_untracked().part.rest,
        _ => return,
    };
    workspace.hold_torch(Point3::new(to.x, to.y, to.z.max(0.0)));
}

/// The torch from above: nozzle ring and wire.
#[component]
pub(super) fn TorchOnPlan() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let hand = expect_context::<InHand>();
    let panels = panels();
    shortcuts().on(KeyCommand::GoToTorch, move || {
        let on_plan = panels.torch.get_untracked();
        let has_focus = document().active_element() == on_plan.clone().map(Into::into);
        let to = if has_focus { panels.torch_height.get_untracked() } else { on_plan };
        if let Some(torch) = to {
            // Focus can only fail on an element that is gone.
            let _ = torch.focus();
        }
    });
    let shape = Memo::new(move |_| TorchAbove::new(view.shape.get(), &view.projection().plan));
    let sign = move || {
        let shape = shape.get();
        let cross: BezPath = shape.cross().iter().flat_map(|l| l.path_elements(0.0)).collect();
        view! {
            {circle("target", Point::ORIGIN, 22.0)}
            {circle("nozzle", shape.rim, shape.nozzle)}
            <path class="cross" d=d(&cross) />
            <path class="stick-out" d=d(&polyline([shape.rim, Point::ORIGIN])) />
            <path class="bend" d=d(&polyline([Point::ORIGIN, shape.tip])) />
            {circle("wire", shape.tip, 2.0)}
        }
    };
    let label = move || {
        let at = view.torch_at_rest.get();
        format(Key::TorchAt, &[&length(at.x, 1), &length(at.y, 1), &length(at.z, 1)])
    };
    let drag = Drag::<Point3<f64>>::new();
    let follow = move |from: Point, to: Point, start: Point3<f64>| {
        workspace.hold_torch(hand.on_plan(&view, start, to - from, drag.snaps()));
    };
    let listeners = drag.listeners(
        move |_: &PointerEvent| Some(view.torch.get_untracked()),
        follow,
        |_| {},
        move |start| workspace.hold_torch(start),
    );
    view! {
        <g
            class="torch grip"
            class:free=move || drag.is_free()
            transform=move || translate(view.projection().plan.point(&view.torch.get()))
            data-testid="torch"
            node_ref=panels.torch
            tabindex="0"
            role="application"
            {..listeners}
            aria-roledescription=text(Key::Torch)
            aria-label=label
            on:keydown=move |event| move_by_key(workspace, hand, &event)
            on:touchstart=keep_page_still
        >
            {sign}
            <ArcSign />
        </g>
    }
}

/// The torch from the front: nozzle, stick-out, wire tip. Dragging it changes its height.
#[component]
pub(super) fn TorchInElevation() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let torch_height = panels().torch_height;
    let shape = Memo::new(move |_| {
        TorchFront::new(&view.torch.get(), view.shape.get(), &view.projection())
    });
    let sign = move || {
        let shape = shape.get();
        view! {
            {rect("target", &shape.target())}
            <path class="nozzle" d=d(&polygon(shape.nozzle())) />
            <path class="stick-out" d=d(&shape.wire()) />
            {circle("wire", shape.tip, 2.0)}
        }
    };
    let hand = expect_context::<InHand>();
    let label = Memo::new(move |_| shape.read().label());
    // In hand, all heights stand beside it.
    let said = move || {
        let in_hand = hand.held.read().is_some();
        (!in_hand).then(|| length_unit(view.torch.get().z, 1))
    };
    // Left of the torch where the scale of heights stands on its right, and always left of the scale.
    let side = Memo::new(move |_| {
        let layout = view.layout.read();
        let at = layout.projection.elevation.point(&view.torch.get()).x;
        let edge = layout.elevation.x1 - SCALE * layout.letter;
        let (right, room) = (label.read().x, HEIGHT * layout.letter);
        if at + right + room < edge {
            (hundredth(right), "start")
        } else {
            (hundredth((-right).min(edge - at)), "end")
        }
    });
    let height = move || view.torch_at_rest.get().z;
    let by_key = move |event: KeyboardEvent| {
        let Some(by) = height_key(&event, STEPS) else { return };
        let at = workspace.hand.get_untracked();
        workspace.hold_torch(Point3::new(at.x, at.y, (at.z + by).max(0.0)));
    };
    let drag = Drag::<Point3<f64>>::new();
    let follow = move |from: Point, to: Point, start: Point3<f64>| {
        workspace.hold_torch(hand.in_height(&view, start, to.y - from.y, (drag.snaps(), 1.0)));
    };
    let listeners = drag.listeners(
        move |_: &PointerEvent| Some(view.torch.get_untracked()),
        follow,
        |_| {},
        move |start| workspace.hold_torch(start),
    );
    view! {
        <g
            class="torch side grip"
            class:free=move || drag.is_free()
            transform=move || translate(view.projection().elevation.point(&view.torch.get()))
            data-testid="torch-height"
            node_ref=torch_height
            tabindex="0"
            role="slider"
            {..listeners}
            aria-label=text(Key::TorchHeight)
            aria-orientation="vertical"
            aria-valuemin="0"
            aria-valuemax=move || height().max(500.0).to_string()
            aria-valuenow=move || length(height(), 1)
            aria-valuetext=move || length_unit(height(), 1)
            on:keydown=by_key
            on:touchstart=keep_page_still
        >
            <g>{sign}</g>
            <ArcSign />
            <text
                class="label"
                text-anchor=move || side.get().1
                x=move || side.get().0
                y=move || hundredth(label.get().y)
            >
                {said}
            </text>
        </g>
    }
}
