use super::shapes::{circle, label};
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, format};
use crate::app::logic::labels::{PointMark, point_marks};
use crate::app::logic::search_marks::{self, SearchMark};
use crate::app::logic::svg_path::{cross, d};
use crate::app::workspace::workspace;
use leptos::prelude::*;

/// Taught points with their names. A press on a point brings the torch there.
#[component]
pub(super) fn Points() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let point = move |mark: PointMark| {
        let PointMark { name, at, label: name_at, anchor, chosen } = mark;
        let class = if chosen { "point chosen" } else { "point" };
        let test_id = format!("point-{name}");
        let title = format(Key::BringTorchTo, &[&name]);
        let of = name.clone();
        let bring_torch = move |_| {
            if let Some(point) = workspace.state_untracked().routine.point(&of) {
                workspace.hold_torch(point.at);
            }
        };
        view! {
            <g class=class data-testid=test_id on:click=bring_torch>
                <title>{title}</title>
                {circle("target", at, 12.0)}
                <path d=d(&cross(at, 4.0)) />
                {label("label", name_at, anchor, name)}
            </g>
        }
    };
    let points = move || {
        let (routine, part) = (workspace.routine(), workspace.part());
        let marks = view.layout.with(|l| point_marks(&routine, workspace.cursor.get(), &part, l));
        marks.into_iter().map(point).collect_view()
    };
    view! {
        <g class="points" data-testid="points">
            {points}
        </g>
    }
}

/// Planned searches on the plan.
#[component]
pub(super) fn SearchesOnPlan() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let searches = move || {
        let plan = view.projection().plan;
        let marks = search_marks::on_plan(&workspace.routine(), workspace.cursor.get(), &plan);
        marks.into_iter().map(search_mark).collect_view()
    };
    view! { <g class="searches">{searches}</g> }
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

fn search_mark(mark: SearchMark) -> AnyView {
    match mark {
        SearchMark::Down(at) => circle("search", at, 9.0).into_any(),
        SearchMark::Arrow { line, head, chosen } => view! {
            <path class=if chosen { "search chosen" } else { "search" } d=d(&line) />
            <path class="search-head" d=d(&head) />
        }
        .into_any(),
    }
}
