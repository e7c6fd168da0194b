use super::shapes::{circle, label};
use super::sheet_view::SheetView;
use super::torch_path_view::TorchPath;
use crate::app::logic::nudge::partly;
use crate::app::logic::number::length_unit;
use crate::app::logic::projection::PlanProjection;
use crate::app::logic::run_marks::{CarriedHomeMark, FollowedPath, TouchMark, followed_paths};
use crate::app::logic::shown::{found_offsets, homes_carried, searches_until, welds_until};
use crate::app::logic::svg_path::{d, polyline};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Pose};
use nudgeproof::routine::{HOME, Leg, LegKind, RunLog, WeldTrace};

/// How long the taught path takes to move to where the offset carries it, s of the viewer's time.
const CARRYING: f64 = 0.8;

/// The taught path, the path of the torch in the run on show, what it touched and where it welded.
#[component]
pub(super) fn RunOnPlan() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let path = move |points: &mut dyn Iterator<Item = Point3<f64>>| {
        let plan = view.projection().plan;
        d(&polyline(points.map(|p| plan.point(&p))))
    };
    let taught = Memo::new(move |_| followed_paths(&workspace.routine()));
    let taught_path = move || {
        let one = |followed: &FollowedPath| path(&mut followed.points.iter().copied());
        taught.with(|all| all.iter().map(one).collect::<String>())
    };
    // The offset of each path as far as it has been carried: changes with the frames only meanwhile.
    let carried = Memo::new(move |_| {
        let (log, p) = workspace.on_show()?;
        let offset = |followed: &FollowedPath| {
            let (found, offset) =
                found_offsets(&log, p.t).find(|(s, _)| s.place == followed.place)?;
            Some(partly(&offset, (p.t - found.time) / (CARRYING * workspace.rate.get())))
        };
        Some(taught.with(|all| all.iter().map(offset).collect::<Vec<_>>()))
    });
    let carried_path = move || {
        let offsets = carried.get()?;
        let one = |(followed, offset): (&FollowedPath, &Option<Pose>)| {
            let pose = (*offset)?;
            Some(path(&mut followed.points.iter().map(|p| pose.point(p))))
        };
        Some(taught.with(|all| all.iter().zip(&offsets).filter_map(one).collect::<String>()))
    };
    view! {
        <path class="way taught" d=taught_path />
        <path class="way carrying" d=move || carried_path().unwrap_or_default() />
        <TorchPath point=|p, q| p.plan.point(q) class=leg_class test_id="run-path" />
        <RunMarks />
    }
}

fn leg_class(leg: &Leg, begun: bool) -> &'static str {
    match (leg.kind, leg.follows.is_some(), begun) {
        (LegKind::Search, _, true) => "way searched",
        (LegKind::Search, _, false) => "way searched ahead",
        (LegKind::Weld, _, true) => "way welded",
        (LegKind::Weld, _, false) => "way welded ahead",
        (_, true, true) => "way carried",
        (_, true, false) => "way carried ahead",
        (_, false, true) => "way",
        (_, false, false) => "way ahead",
    }
}

/// Touches, welds, and homes that were carried along, as far as the run on show has come.
#[component]
fn RunMarks() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let counts = Memo::new(move |_| {
        let (log, t) = workspace.shown_so_far()?;
        let touches = searches_until(&log, t).count();
        Some([touches, welds_until(&log, t).count(), homes_carried(&log, t).count()])
    });
    let marks = move || {
        let ([touches, welds, carried], log) = (counts.get()?, workspace.shown_run()?);
        let plan = view.projection().plan;
        let home = workspace.routine().point(HOME).map(|p| p.at);
        let homes = homes_carried(&log, log.duration).take(carried);
        Some(view! {
            {(0..touches).map(|i| touch(&log, i, &plan)).collect_view()}
            {log.welds.iter().take(welds).map(|w| bead(w, &plan)).collect_view()}
            {home.map(|home| homes.map(|(mm, at)| carried_home(&home, mm, &at, &plan)).collect_view())}
        })
    };
    view! {
        <g class="results" data-testid="touches">
            {marks}
        </g>
    }
}

fn touch(log: &RunLog, index: usize, plan: &PlanProjection) -> Option<impl IntoView + use<>> {
    let mark = TouchMark::new(log, log.searches.get(index)?, plan);
    let number = (index + 1).to_string();
    let test_id = format!("touch-{number}");
    let class = if mark.found { "touch" } else { "touch failed" };
    Some(view! {
        <g class=class data-testid=test_id>
            <path d=d(&mark.sign) />
            {circle("", mark.at, 2.5)}
            {label("label", mark.number, "middle", number)}
        </g>
    })
}

fn bead(weld: &WeldTrace, plan: &PlanProjection) -> impl IntoView + use<> {
    let class = if weld.landed { "bead landed" } else { "bead missed" };
    view! { <path class=class d=d(&polyline(weld.wire.iter().map(|p| plan.point(p)))) /> }
}

fn carried_home(
    home: &Point3<f64>,
    by_mm: f64,
    end: &Point3<f64>,
    plan: &PlanProjection,
) -> impl IntoView + use<> {
    let mark = CarriedHomeMark::new(home, end, plan);
    view! {
        <path class="off" d=d(&mark.line) />
        <path class="off-head" d=d(&mark.head) />
        {label("label bad", mark.label, "start", length_unit(by_mm, 1))}
    }
}
