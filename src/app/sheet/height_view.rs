//! The heights of taught points in the elevation: a point is dragged up and down here, or moved by
//! keys.

use super::drag::{Drag, height_key, keep_page_still};
use super::in_hand::InHand;
use super::shapes::{circle, label};
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, format};
use crate::app::logic::number::{length, length_unit};
use crate::app::logic::svg_path::{cross, d};
use crate::app::workspace::{Workspace, workspace};
use kurbo::{Point, Vec2};
use leptos::prelude::*;
use nudgeproof::geometry::Point3;
use nudgeproof::session::Action;
use web_sys::{KeyboardEvent, PointerEvent};

/// Step of a key that moves a point, mm, and with Shift.
const STEPS: [f64; 2] = [1.0, 0.1];

/// Gives a taught point another height, mm; its place on the plan stays.
pub(crate) fn set_height(workspace: Workspace, point: &str, z: f64) {
    let state = workspace.state_untracked();
    let Some(taught) = state.routine.point(point) else { return };
    let to = Point3::new(taught.at.x, taught.at.y, z.max(0.0));
    if move_point(workspace, point, to) {
        workspace.notify(format(Key::PointHeightIs, &[point, &length(to.z, 1)]));
    }
}

/// Teaches a point anew where it is stored to be, work frame, mm; false if it is there already or that
/// could not be done.
pub(super) fn move_point(workspace: Workspace, point: &str, to: Point3<f64>) -> bool {
    let state = workspace.state_untracked();
    let moves = state.routine.point(point).is_some_and(|p| (p.at - to).norm() > 1e-9);
    // Teaching stores a point in the frame of the active offset: it is handed over as it lies there.
    let active = state.paused.as_ref().and_then(|runner| runner.active_offset());
    let at = active.map_or(to, |offset| offset.point(&to));
    moves && workspace.act(Action::Teach { point: point.into(), at })
}

/// Every taught point, as a grip that moves up and down.
#[component]
pub(super) fn Heights() -> impl IntoView {
    let workspace = workspace();
    let names = Memo::new(move |_| {
        workspace.routine().points.iter().map(|p| p.name.clone()).collect::<Vec<_>>()
    });
    view! {
        <g class="points" data-testid="points-side">
            <For each=move || names.get() key=Clone::clone let(name)>
                <HeightGrip name />
            </For>
        </g>
    }
}

#[component]
fn HeightGrip(name: String) -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let hand = expect_context::<InHand>();
    let name = StoredValue::new(name);
    let dragged = move || {
        let of = |held: &(String, Point3<f64>)| name.with_value(|n| *n == held.0).then_some(held.1);
        hand.point.with(|held| held.as_ref().and_then(of))
    };
    let taught =
        Memo::new(move |_| name.with_value(|n| workspace.routine().point(n).map(|p| p.at)));
    let height = move || taught.get().map_or(0.0, |p| p.z);
    let at = move || {
        let p = dragged().or_else(|| taught.get()).unwrap_or_else(Point3::origin);
        view.projection().elevation.point(&p)
    };
    let title = move || name.with_value(|n| format(Key::HeightOf, &[n]));
    let set = move |z: f64| name.with_value(|n| set_height(workspace, n, z));
    let by_key = move |event: KeyboardEvent| {
        let Some(by) = height_key(&event, STEPS) else { return };
        set(((untrack(height) + by) * 10.0).round() / 10.0);
    };
    let drag = Drag::<Point3<f64>>::new();
    let follow = move |from: Point, to: Point, start: Point3<f64>| {
        let at = hand.in_height(&view, start, to.y - from.y, (drag.snaps(), 0.5));
        hand.point.set(Some((name.get_value(), at)));
    };
    let drop = move |_| {
        let held = untrack(dragged);
        hand.point.set(None);
        if let Some(at) = held {
            set(at.z);
        }
    };
    let listeners = drag.listeners(
        move |_: &PointerEvent| taught.get_untracked(),
        follow,
        drop,
        move |_| hand.point.set(None),
    );
    let sign = move || {
        let at = at();
        let number = |p: Point3<f64>| {
            label("label", at + Vec2::new(10.0, 4.0), "start", length_unit(p.z, 1))
        };
        view! {
            {circle("target", at, 12.0)}
            <path class="point" d=d(&cross(at, 3.0)) />
            {dragged().map(number)}
        }
    };
    view! {
        <g
            class="point-height grip"
            data-testid=name.with_value(|n| format!("height-{n}"))
            tabindex="0"
            role="slider"
            {..listeners}
            aria-orientation="vertical"
            aria-label=title
            aria-valuemin="0"
            aria-valuemax=move || height().max(500.0).to_string()
            aria-valuenow=move || length(height(), 1)
            aria-valuetext=move || length_unit(height(), 1)
            on:keydown=by_key
            on:touchstart=keep_page_still
        >
            <title>{title}</title>
            {sign}
        </g>
    }
}
