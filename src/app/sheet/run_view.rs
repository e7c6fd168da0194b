use super::SheetView;
use super::way_view::Ways;
use crate::app::dom::{View, several, svg};
use crate::app::logic::dimension::arrow_head;
use crate::app::logic::nudge::partly;
use crate::app::logic::number::length_unit;
use crate::app::logic::shown::{found_offset, homes_carried, searches_until, welds_until};
use crate::app::logic::svg_writer::SvgWriter;
use crate::app::logic::{
    projection::{Projection, ScreenPoint},
    svg_path,
};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{
    HOME, Instruction, Leg, LegKind, Routine, RunLog, Search, SearchOutcome,
};

/// How long the taught path takes to move to where it is carried, s of the viewer's time.
const CARRYING: f64 = 0.8;

/// The way of the run on show, what it touched and where it welded; the taught path under it.
pub(super) fn run_plan() -> View {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let taught = Memo::new(move |_| taught_path(&workspace.routine()));
    let as_taught = move || svg_path::way_plan(&taught.read(), &view.projection());
    // How far the path is on its way to where it is carried: told only while it moves.
    let carried = Memo::new(move |_| {
        let (log, p) = workspace.on_show()?;
        let (found, offset) = found_offset(&log, p.t)?;
        let share = (p.t - found.time) / (CARRYING * workspace.rate.get());
        Some(partly(&offset, share))
    });
    let carrying = move || {
        carried.get().map_or_else(String::new, |pose| {
            let path: Vec<_> = taught.read().iter().map(|q| pose.point(q)).collect();
            svg_path::way_plan(&path, &view.projection())
        })
    };
    // How much there is to see of the run: touches, welds, homes that were carried along.
    let counts = Memo::new(move |_| {
        workspace.shown_so_far().map(|(log, t)| {
            let touches = searches_until(&log, t).count();
            [touches, welds_until(&log, t).count(), homes_carried(&log, t).count()]
        })
    });
    let found = move || {
        let (Some(counts), Some(log)) = (counts.get(), workspace.shown_run()) else {
            return String::new();
        };
        let home = workspace.routine().point(HOME).map(|p| p.at);
        results(&log, counts, home, &view.projection())
    };
    let ways = Ways {
        spot: Projection::plan,
        gone: leg_class,
        ahead: |leg| format!("{} ahead", leg_class(leg)),
        test_id: "run-path",
    };
    several()
        .child(svg("path").class("way taught").attr("d", as_taught))
        .child(svg("path").class("way carrying").attr("d", carrying))
        .child(ways.view())
        .child(svg("g").class("results").test_id("touches").html(found))
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
        match &step.instruction {
            Instruction::Follow { .. } => following = true,
            Instruction::StopFollowing => following = false,
            act if following => {
                out.extend(act.point().and_then(|n| routine.point(n)).map(|p| p.at));
            }
            _ => {}
        }
    }
    out
}

/// Touches, welds, and homes that were carried along.
fn results(
    log: &RunLog,
    [touches, welds, carried]: [usize; 3],
    home: Option<Point3<f64>>,
    projection: &Projection,
) -> String {
    let mut m = SvgWriter::default();
    for (i, search) in log.searches.iter().enumerate().take(touches) {
        touch_mark(&mut m, log, i + 1, search, projection);
    }
    for weld in log.welds.iter().take(welds) {
        let class = if weld.landed { "bead landed" } else { "bead missed" };
        m.path(class, &svg_path::way_plan(&weld.wire, projection));
    }
    let homes = homes_carried(log, log.duration).take(carried);
    for ((by_mm, at), home) in homes.zip(home.into_iter().cycle()) {
        let (a, b) = (projection.plan(&home), projection.plan(&at));
        m.path("off", &svg_path::segment(a, b));
        m.path("off-head", &svg_path::line(&arrow_head(a, b, 7.0), true));
        let text = length_unit(by_mm, 1);
        m.label("label bad", ScreenPoint::new(b.x + 16.0, b.y - 10.0), &text, "start");
    }
    m.finish()
}

/// A touch: a bar across the search with its number behind it; a cross where nothing was found.
fn touch_mark(m: &mut SvgWriter, log: &RunLog, number: usize, search: &Search, p: &Projection) {
    let (at, found) = match &search.outcome {
        SearchOutcome::Touch { contact, .. } => (*contact, true),
        _ => (log.torch_at(search.time).unwrap_or(search.start), false),
    };
    let s = p.plan(&at);
    let (dx, dy) = (search.direction.x, -search.direction.y);
    let n = dx.hypot(dy);
    let (ux, uy) = if n > 1e-6 { (dx / n, dy / n) } else { (0.0, 1.0) };
    let label =
        ScreenPoint::new(s.x - ux * 13.0 - uy.abs() * 9.0, s.y - uy * 13.0 + 4.0 - ux.abs() * 9.0);
    let d = if found {
        let (ax, ay) = (-uy * 6.0, ux * 6.0);
        svg_path::segment(
            ScreenPoint::new(s.x - ax, s.y - ay),
            ScreenPoint::new(s.x + ax, s.y + ay),
        )
    } else {
        svg_path::cross(s, 5.0)
    };
    let class = if found { "touch" } else { "touch failed" };
    let number = number.to_string();
    m.open(class, &[("data-testid", &format!("touch-{number}"))])
        .path("", &d)
        .circle("", s, 2.5)
        .label("label", label, &number, "middle")
        .close();
}
