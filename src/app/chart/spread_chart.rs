use super::figure::Figure;
use super::plan_drawing::{MAGNIFICATION, PlanDrawing};
use crate::app::i18n::{Key, format, say, text};
use crate::app::logic::number::length;
use leptos::prelude::*;
use nudgeproof::cell::Part;
use nudgeproof::forecast::{SeamForecast, WeldForecast};
use std::sync::Arc;

/// Where the ends of each weld will lie.
#[component]
pub(super) fn SpreadChart(forecast: SeamForecast, part: Arc<Part>) -> impl IntoView {
    let several = forecast.welds.len() > 1;
    let of_weld = |weld: &WeldForecast| match says(weld) {
        says if several => format(Key::OfSeam, &[&weld.seam, &says]),
        says => says,
    };
    let said: Vec<String> = forecast.welds.iter().map(of_weld).collect();
    let times = MAGNIFICATION.to_string();
    let drawn = forecast.ends().next().map(|_| format(Key::ChartSpreadDrawn, &[&times]));
    let caption = said.into_iter().chain(drawn).collect::<Vec<_>>().join(" ");
    view! {
        <Figure test_id="chart-spread" title=Key::ChartSpread caption>
            <PlanDrawing class="sheet chart-spread" label=text(Key::ChartSpread) part forecast />
        </Figure>
    }
}

/// The spread at both ends of a weld against the tolerance, or why there is none.
fn says(weld: &WeldForecast) -> String {
    let across = match (&weld.ends, weld.across()) {
        (Err(none), _) => return format(Key::NoForecast, &[&say(&none.why)]),
        (Ok(_), across) => across.unwrap_or_default(),
    };
    let [a, b] = across;
    let inside =
        if a.max(b) <= weld.tolerance_mm { Key::InsideTolerance } else { Key::OutsideTolerance };
    let [a, b] = [a, b].map(|v| length(v, 2));
    format(Key::ChartSpreadSays, &[text(inside), &a, &b, &length(weld.tolerance_mm, 1)])
}
