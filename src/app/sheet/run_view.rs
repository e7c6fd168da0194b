use super::SheetView;
use crate::app::desk::desk;
use crate::app::live::memo;
use crate::app::logic::dimension::arrow_head;
use crate::app::logic::markup::Markup;
use crate::app::logic::nudge::partly;
use crate::app::logic::number::mm;
use crate::app::logic::playback::Playback;
use crate::app::logic::shown::{
    found_offset, homes_carried, legs_over, legs_until, searches_until, welds_until,
};
use crate::app::logic::{
    ink,
    projection::{Projection, Spot},
};
use leptos::prelude::*;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{Act, HOME, Leg, LegKind, Routine, RunLog, Search, SearchOutcome};

/// How long the taught path takes to move to where it is carried, s of the viewer's time.
const CARRYING: f64 = 0.8;

/// The way of the run on show, what it touched and where it welded; the taught path under it.
#[component]
pub(super) fn RunPlan() -> impl IntoView {
    let desk = desk();
    let view = expect_context::<SheetView>();
    // The whole way, faint: it changes only with the run.
    let ahead = move || {
        let mut m = Markup::default();
        let projection = view.projection();
        m.path("way taught", &ink::way_plan(&taught_path(&desk.routine()), &projection));
        for leg in desk.log_on_show().iter().flat_map(|log| &log.legs) {
            m.path(&format!("{} ahead", leg_class(leg)), &ink::way_plan(&leg.path, &projection));
        }
        m.finish()
    };
    // What lies behind the torch is drawn anew only when a leg is over.
    let over = memo(move || desk.on_show().map_or(0, |(log, p)| legs_over(&log, p.t)));
    let done = move || {
        let (mut m, projection) = (Markup::default(), view.projection());
        for leg in desk.log_on_show().iter().flat_map(|log| log.legs.iter().take(over.get())) {
            m.path(leg_class(leg), &ink::way_plan(&leg.path, &projection));
        }
        m.finish()
    };
    // What moves with every frame is an attribute: nothing is read as markup again.
    let carried = move || {
        let Some((log, p)) = desk.on_show() else { return String::new() };
        carrying(&log, &p, desk.rate.get(), &desk.routine(), &view.projection())
    };
    let leg_class_now = move || {
        let leg = desk.log_on_show().and_then(|log| log.legs.get(over.get()).map(leg_class));
        leg.unwrap_or("way")
    };
    let leg_now = move || {
        let Some((log, p)) = desk.on_show() else { return String::new() };
        let now = legs_until(&log, p.t).nth(legs_over(&log, p.t));
        now.map_or_else(String::new, |(leg, share)| {
            ink::way_plan(&ink::head(&leg.path, share), &view.projection())
        })
    };
    let found = move || {
        let Some(log) = desk.shown_run() else { return String::new() };
        let t = desk.on_show().map_or(log.duration, |(_, p)| p.t);
        let home = desk.routine().point(HOME).map(|p| p.at);
        results(&log, t, home, &view.projection())
    };
    view! {
        <g class="run" inner_html=ahead></g>
        <g class="run" data-testid="run-path" inner_html=done></g>
        <path class="way carrying" d=carried/>
        <path class=leg_class_now d=leg_now/>
        <g class="results" data-testid="touches" inner_html=found></g>
    }
}

fn leg_class(leg: &Leg) -> &'static str {
    match (leg.kind, leg.follows.is_some()) {
        (LegKind::Search, _) => "way searched",
        (LegKind::Weld, _) => "way welded",
        (_, true) => "way carried",
        (_, false) => "way",
    }
}

/// The path as taught of the moves that follow the part.
fn taught_path(routine: &Routine) -> Vec<Point3<f64>> {
    let mut following = false;
    let mut out = Vec::new();
    for step in &routine.steps {
        match &step.act {
            Act::Follow { .. } => following = true,
            Act::StopFollowing => following = false,
            act if following => {
                out.extend(act.point().and_then(|n| routine.point(n)).map(|p| p.at));
            }
            _ => {}
        }
    }
    out
}

/// The taught path on its way to where it is carried, before the viewer's eyes.
fn carrying(
    log: &RunLog,
    p: &Playback,
    rate: f64,
    routine: &Routine,
    projection: &Projection,
) -> String {
    let Some((found, offset)) = found_offset(log, p.t) else { return String::new() };
    let pose = partly(&offset, (p.t - found.time) / (CARRYING * rate));
    let path: Vec<_> = taught_path(routine).iter().map(|q| pose.point(q)).collect();
    ink::way_plan(&path, projection)
}

/// Touches, welds, and homes that were carried along.
fn results(log: &RunLog, t: f64, home: Option<Point3<f64>>, projection: &Projection) -> String {
    let mut m = Markup::default();
    for (i, search) in searches_until(log, t) {
        touch_mark(&mut m, log, i + 1, search, projection);
    }
    for weld in welds_until(log, t) {
        let class = if weld.landed { "bead landed" } else { "bead missed" };
        m.path(class, &ink::way_plan(&weld.wire, projection));
    }
    for ((by_mm, at), home) in homes_carried(log, t).zip(home.into_iter().cycle()) {
        let (a, b) = (projection.plan(&home), projection.plan(&at));
        m.path("off", &ink::segment(a, b));
        m.path("off-head", &ink::line(&arrow_head(a, b, 7.0), true));
        let text = format!("{} mm", mm(by_mm, 1));
        m.label("label bad", Spot::new(b.x + 16.0, b.y - 10.0), &text, "start");
    }
    m.finish()
}

/// A touch: a bar across the search with its number behind it; a cross where nothing was found.
fn touch_mark(m: &mut Markup, log: &RunLog, number: usize, search: &Search, p: &Projection) {
    let (at, found) = match &search.outcome {
        SearchOutcome::Touch { contact, .. } => (*contact, true),
        _ => (log.torch_at(search.time).unwrap_or(search.start), false),
    };
    let s = p.plan(&at);
    let (dx, dy) = (search.direction.x, -search.direction.y);
    let n = dx.hypot(dy);
    let (ux, uy) = if n > 1e-6 { (dx / n, dy / n) } else { (0.0, 1.0) };
    let label = Spot::new(s.x - ux * 13.0 - uy.abs() * 9.0, s.y - uy * 13.0 + 4.0 - ux.abs() * 9.0);
    let d = if found {
        let (ax, ay) = (-uy * 6.0, ux * 6.0);
        ink::segment(Spot::new(s.x - ax, s.y - ay), Spot::new(s.x + ax, s.y + ay))
    } else {
        ink::cross(s, 5.0)
    };
    let class = if found { "touch" } else { "touch failed" };
    let number = number.to_string();
    m.open(class, &[("data-testid", &format!("touch-{number}"))])
        .path("", &d)
        .circle("", s, 2.5)
        .label("label", label, &number, "middle")
        .close();
}
