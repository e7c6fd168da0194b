//! The path of the torch in the run on show, from above and from the front, as far as it has been
//! shown. A leg that is over is drawn once; only the leg under way is drawn anew at each frame.

use super::sheet_view::SheetView;
use crate::app::logic::projection::Projection;
use crate::app::logic::shown::legs_over;
use crate::app::logic::svg_path::{PartialPolyline, beside, d, polyline};
use crate::app::workspace::workspace;
use kurbo::Point;
use leptos::prelude::*;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{Leg, RunLog};

/// How a leg is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct LegStroke {
    pub(super) class: &'static str,
    /// How far beside the way each of its lines is, pixels.
    pub(super) lines: &'static [f64],
}

/// The path in one view: `point` draws a point of it.
#[component]
pub(super) fn TorchPath(
    point: fn(&Projection, &Point3<f64>) -> Point,
    stroke: fn(&RunLog, &Leg) -> LegStroke,
    test_id: &'static str,
) -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let over = Memo::new(move |_| workspace.at_beat().map_or(0, |(log, p)| legs_over(&log, p.t)));
    let lines = move |leg: &Leg, beside_by: &'static [f64]| {
        let projection = view.projection();
        let way: Vec<Point> = leg.path.iter().map(|p| point(&projection, p)).collect();
        beside_by.iter().map(move |by| beside(&way, *by))
    };
    let leg = move |index: usize| {
        let log = workspace.log_on_show()?;
        let leg = log.legs.get(index)?;
        let LegStroke { class, lines: by } = stroke(&log, leg);
        let path = lines(leg, by).map(|line| d(&polyline(line))).collect::<String>();
        Some(view! { <path class=class d=path /> })
    };
    // The leg under way: its lines, its time in the run, s, and its class.
    let current = Memo::new(move |_| {
        let log = workspace.log_on_show()?;
        let leg = log.legs.get(over.get())?;
        let LegStroke { class, lines: by } = stroke(&log, leg);
        let lines = lines(leg, by).map(|line| PartialPolyline::new(&leg.path, line));
        Some((lines.collect::<Vec<_>>(), leg.time, class))
    });
    let so_far = move || {
        let t = workspace.playback.get().map_or(0.0, |p| p.t);
        let current = current.read();
        let Some((lines, [from, to], _)) = current.as_ref() else { return String::new() };
        let share = (t - from) / (to - from).max(1e-9);
        lines.iter().map(|line| line.until(share)).collect()
    };
    let class = move || current.with(|leg| leg.as_ref().map_or("way", |l| l.2));
    view! {
        <g class="run" data-testid=test_id>
            <For
                each=move || 0..over.get()
                key=|index| *index
                let(index)
            >
                {move || leg(index)}
            </For>
        </g>
        <path class=class d=so_far />
    }
}
