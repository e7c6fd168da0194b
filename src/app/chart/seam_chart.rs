use super::figure::Figure;
use super::plot::{Plot, PlotChart};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::{length, signed_length};
use crate::app::logic::svg_path::{cross, d, polyline};
use crate::app::sheet::{circle, label};
use crate::app::workspace::Workspace;
use kurbo::Point;
use leptos::prelude::*;
use nudgeproof::routine::WeldTrace;

/// The last weld of the run on show.
pub(super) fn last_weld(workspace: Workspace) -> Option<WeldTrace> {
    workspace.run_so_far()?.welds.last().cloned()
}

/// The miss across the seam from weld start to weld end. Weld and seam are straight, so it is a
/// straight line between its ends.
#[component]
pub(super) fn SeamChart(weld: WeldTrace) -> impl IntoView {
    let misses = weld.miss.map(|m| m.across_mm);
    let tolerance = weld.tolerance_mm;
    let plot = Plot::new(&misses, tolerance);
    let xs = [plot.area.x0 + 30.0, plot.area.x1 - 30.0];
    let ends = [0, 1].map(|i| Point::new(xs[i], plot.y(misses[i])));
    let end = move |i: usize| {
        let (at, mm) = (ends[i], misses[i]);
        let name = text([Key::DetailStart, Key::DetailEnd][i]);
        // From the edges of the plot inwards, however long the names are.
        let (name_x, anchor) = [(plot.area.x0, "start"), (plot.area.x1, "end")][i];
        let number = Point::new(at.x, at.y + number_offset(&plot, mm));
        view! {
            {mark(at, mm.abs() > tolerance)}
            {label("value", number, "middle", signed_length(mm, 2))}
            {label("name", Point::new(name_x, plot.names()), anchor, name.into())}
        }
    };
    let [start, stop] = misses.map(|mm| signed_length(mm, 2));
    let caption = format(Key::ChartSeamSays, &[&start, &stop, &length(tolerance, 1)]);
    view! {
        <Figure test_id="chart-seam" title=Key::ChartSeam caption>
            <PlotChart class="sheet chart-seam" title=Key::ChartSeam plot>
                <path class="miss" d=d(&polyline(ends)) />
                {[0, 1].map(end)}
            </PlotChart>
        </Figure>
    }
}

/// A cross for an end outside the tolerance, a ring for one inside.
fn mark(at: Point, outside: bool) -> AnyView {
    if outside {
        view! { <path class="mark out" d=d(&cross(at, 5.0)) /> }.into_any()
    } else {
        circle("mark", at, 4.5).into_any()
    }
}

/// How far below its mark the number of a miss stands, pixels: away from the zero line, where there
/// is room.
fn number_offset(plot: &Plot, mm: f64) -> f64 {
    let y = plot.y(mm);
    let below = if mm > 0.0 { y - plot.area.y0 < 18.0 } else { plot.area.y1 - y > 22.0 };
    if below { 17.0 } else { -9.0 }
}
