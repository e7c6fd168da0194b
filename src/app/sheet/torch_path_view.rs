//! The path of the torch in the run on show, from above and from the front. Every leg is drawn once
//! and changes its class when it is over; only the leg under way is drawn anew at each frame.

use super::sheet_view::SheetView;
use crate::app::logic::projection::Projection;
use crate::app::logic::shown::legs_over;
use crate::app::logic::svg_path::{PartialPolyline, d, polyline};
use crate::app::workspace::workspace;
use kurbo::Point;
use leptos::prelude::*;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::Leg;

/// The path in one view: `point` draws a point of it; `class` is that of a leg, given whether the
/// leg has begun.
#[component]
pub(super) fn TorchPath(
    point: fn(&Projection, &Point3<f64>) -> Point,
    class: fn(&Leg, bool) -> &'static str,
    test_id: &'static str,
) -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let over = Memo::new(move |_| workspace.at_beat().map_or(0, |(log, p)| legs_over(&log, p.t)));
    let drawn = move |leg: &Leg| {
        let projection = view.projection();
        leg.path.iter().map(|p| point(&projection, p)).collect::<Vec<_>>()
    };
    let legs = move || {
        let log = workspace.log_on_show()?;
        let leg = |(i, leg): (usize, &Leg)| {
            let [ahead, begun] = [false, true].map(|begun| class(leg, begun));
            let class = move || if i < over.get() { begun } else { ahead };
            view! { <path class=class d=d(&polyline(drawn(leg))) /> }
        };
        Some(log.legs.iter().enumerate().map(leg).collect_view())
    };
    // The leg under way: its line, its time in the run, s, and its class.
    let current = Memo::new(move |_| {
        let log = workspace.log_on_show()?;
        let leg = log.legs.get(over.get())?;
        Some((PartialPolyline::new(&leg.path, drawn(leg)), leg.time, class(leg, true)))
    });
    let so_far = move || {
        let t = workspace.playback.get().map_or(0.0, |p| p.t);
        let current = current.read();
        let Some((line, [from, to], _)) = current.as_ref() else { return String::new() };
        line.until((t - from) / (to - from).max(1e-9))
    };
    let class = move || current.with(|leg| leg.as_ref().map_or("way", |l| l.2));
    view! {
        <g class="run" data-testid=test_id>
            {legs}
        </g>
        <path class=class d=so_far />
    }
}
