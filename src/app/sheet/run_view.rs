use super::contact_view::{Contacts, Touches};
use super::find_view::FindScene;
use super::glass_view::GlassOnPlan;
use super::run_shown::RunShown;
use super::shapes::label;
use super::sheet_view::SheetView;
use super::torch_path_view::{LegStroke, TorchPath};
use crate::app::logic::nudge::partly;
use crate::app::logic::number::length_unit;
use crate::app::logic::playback::path_share;
use crate::app::logic::projection::PlanProjection;
use crate::app::logic::run_marks::{CarriedHomeMark, FollowedPath, followed_paths};
use crate::app::logic::shown::{homes_carried, senses_at, welds_until};
use crate::app::logic::svg_path::{beside, d, polyline};
use crate::app::workspace::workspace;
use kurbo::Point;
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Pose};
use nudgeproof::routine::{HOME, Leg, LegKind, RunLog, SolutionOutcome, WeldTrace};

/// What the run on show does on the plan: the path of the torch, what it touched,
/// what it found and where it welded.
#[component]
pub(super) fn RunOnPlan(run: RunShown, touches: Touches) -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let path = move |points: &mut dyn Iterator<Item = Point3<f64>>| {
        let plan = view.projection().plan;
        double_line(&points.map(|p| plan.point(&p)).collect::<Vec<_>>())
    };
    let taught = Memo::new(move |_| followed_paths(&workspace.routine()));
    // The offset of each path as far as it has been carried: changes with the frames only meanwhile.
    let carried = Memo::new(move |_| {
        let (log, p) = workspace.on_show()?;
        let scenes = run.scenes.read();
        let offset = |followed: &FollowedPath| {
            log.solutions.iter().enumerate().rev().find_map(|(i, solution)| {
                let SolutionOutcome::Found { offset, .. } = &solution.outcome else { return None };
                let share =
                    path_share(&scenes, i, &p).filter(|_| solution.place == followed.place)?;
                Some(partly(offset, share))
            })
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
        <g
            class="event"
            class:plays=move || workspace.playback.playing()
            data-testid="event"
            data-sight=move || run.scene.get().map_or("none", |s| s.sight.name())
        >
            <path class="way carrying" d=move || carried_path().unwrap_or_default() />
            <TorchPath point=|p, q| p.plan.point(q) stroke=leg_stroke test_id="run-path" />
            <Results run />
            <FindScene run touches />
            <Contacts run touches />
            <GlassOnPlan run touches />
        </g>
    }
}

/// Half the distance of the two lines of a way that rides with a place, pixels.
const HALF_APART: f64 = 2.0;

/// A way that rides with a place, as two lines.
fn double_line(way: &[Point]) -> String {
    [HALF_APART, -HALF_APART].map(|by| d(&polyline(beside(way, by)))).concat()
}

/// Each kind of leg has its own shape as well as its own colour.
fn leg_stroke(log: &RunLog, leg: &Leg) -> LegStroke {
    let (class, lines): (_, &[f64]) = match (leg.kind, leg.follows.is_some()) {
        (LegKind::Search, _) => ("way searched", &[0.0]),
        (LegKind::Weld, _) => ("way welded", &[0.0]),
        (_, true) => ("way carried", &[HALF_APART, -HALF_APART]),
        (_, false) if senses_at(log, leg.time[0]) => ("way sensing", &[0.0]),
        (_, false) => ("way", &[0.0]),
    };
    LegStroke { class, lines }
}

/// Welds, and homes that were carried along, as far as the run on show has come.
#[component]
fn Results(run: RunShown) -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let counts = Memo::new(move |_| {
        let (log, t) = workspace.shown_so_far()?;
        Some([welds_until(&log, t).count(), homes_carried(&log, t).count()])
    });
    let marks = move || {
        let ([welds, carried], log) = (counts.get()?, run.log.get()?);
        let plan = view.projection().plan;
        let home = workspace.routine().point(HOME).map(|p| p.at);
        let homes = homes_carried(&log, log.duration).take(carried);
        Some(view! {
            {log.welds.iter().take(welds).map(|w| bead(w, &plan)).collect_view()}
            {home.map(|home| homes.map(|(mm, at)| carried_home(&home, mm, &at, &plan)).collect_view())}
        })
    };
    view! { <g class="results">{marks}</g> }
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
