use super::contact_view::point_names_give_way;
use super::drag::Drag;
use super::height_view::move_point;
use super::in_hand::InHand;
use super::shapes::{circle, label};
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, format};
use crate::app::logic::labels::PointMark;
use crate::app::logic::number::length;
use crate::app::logic::search_marks::{self, SearchMark};
use crate::app::logic::svg_path::{cross, d};
use crate::app::workspace::workspace;
use kurbo::Point;
use leptos::prelude::*;
use nudgeproof::geometry::Point3;
use web_sys::PointerEvent;

/// Taught points with their names. A press on a point brings the torch there; a mouse drags it.
#[component]
pub(super) fn Points() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let hand = expect_context::<InHand>();
    let names = Memo::new(move |_| {
        workspace.routine().points.iter().map(|p| p.name.clone()).collect::<Vec<_>>()
    });
    let mark = move |name: &str| {
        hand.labels.with(|labels| labels.points.iter().find(|mark| mark.name == name).cloned())
    };
    view! {
        <g
            class="points"
            class:unnamed=move || point_names_give_way(workspace, view)
            data-testid="points"
        >
            <For each=move || names.get() key=Clone::clone let(name)>
                <TaughtPointView mark=Memo::new({
                    let name = name.clone();
                    move |_| mark(&name)
                }) name />
            </For>
        </g>
    }
}

/// Shorter drags are presses, pixels.
const STILL: f64 = 3.0;

/// A taught point.
#[component]
fn TaughtPointView(name: String, mark: Memo<Option<PointMark>>) -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let hand = expect_context::<InHand>();
    let (test_id, title) = (format!("point-{name}"), format(Key::BringTorchTo, &[&name]));
    let name = StoredValue::new(name);
    let taught = move || {
        let routine = workspace.state_untracked().routine.clone();
        name.with_value(|name| routine.point(name).map(|p| p.at))
    };
    // A press ends in a click too; that of a drag brings nothing.
    let dragged = StoredValue::new(false);
    let bring_torch = move |_| {
        if !dragged.get_value()
            && let Some(at) = taught()
        {
            workspace.hold_torch(at);
        }
    };
    let drag = Drag::<Point3<f64>>::new();
    let follow = move |from: Point, to: Point, start: Point3<f64>| {
        if !dragged.get_value() && from.distance(to) < STILL {
            return;
        }
        dragged.set_value(true);
        let at = hand.on_plan(&view, start, to - from, drag.snaps());
        hand.point.set(Some((name.get_value(), at)));
    };
    let drop = move |_| {
        let Some((point, at)) = hand.point.get_untracked() else { return };
        hand.point.set(None);
        workspace.playback.set(None);
        if move_point(workspace, &point, at) {
            let [x, y] = [at.x, at.y].map(|mm| length(mm, 1));
            workspace.notify(format(Key::PointIsAt, &[&point, &x, &y]));
        }
    };
    let listeners = drag.listeners(
        move |event: &PointerEvent| {
            dragged.set_value(false);
            let mouse = event.pointer_type() == "mouse";
            mouse.then(taught).flatten()
        },
        follow,
        drop,
        move |_| hand.point.set(None),
    );
    let sign = move || {
        mark.get().map(|PointMark { name, at, label: name_at, anchor, named, .. }| {
            view! {
                {circle("target", at, 12.0)}
                <path d=d(&cross(at, 4.0)) />
                {named.then(|| label("label", name_at, anchor, name))}
            }
        })
    };
    let chosen = move || mark.read().as_ref().is_some_and(|mark| mark.chosen);
    view! {
        <g class="point" {..listeners} class:chosen=chosen data-testid=test_id on:click=bring_torch>
            <title>{title}</title>
            {sign}
        </g>
    }
}

/// Planned searches in the elevation.
#[component]
pub(super) fn SearchesInElevation() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let searches = move || {
        let (routine, cursor) = (workspace.routine(), workspace.cursor.get());
        let marks = search_marks::in_elevation(&routine, cursor, &view.projection().elevation);
        marks.into_iter().map(search_mark).collect_view()
    };
    view! {
        <g class="searches" data-testid="searches-side">
            {searches}
        </g>
    }
}

fn search_mark(SearchMark { line, head, chosen }: SearchMark) -> impl IntoView {
    view! {
        <path class=if chosen { "search chosen" } else { "search" } d=d(&line) />
        <path class="search-head" d=d(&head) />
    }
}
