use super::figure::Figure;
use super::plan_drawing::{MAGNIFICATION, PlanDrawing};
use crate::app::i18n::{Key, format, say, text};
use crate::app::logic::forecast::SeamForecast;
use crate::app::logic::number::length;
use leptos::prelude::*;
use nudgeproof::cell::Part;
use nudgeproof::locate::STATED_SIGMAS;
use std::sync::Arc;

/// Where the ends of the weld will lie.
#[component]
pub(super) fn SpreadChart(forecast: SeamForecast, part: Arc<Part>) -> impl IntoView {
    let tolerance = part.seams.first().map_or(0.0, |s| s.tolerance_mm);
    let caption = match &forecast.ends {
        Some(Ok(ends)) => {
            let [a, b] = [0, 1].map(|i| ends.get(i).map_or(0.0, |e| STATED_SIGMAS * e.across));
            let inside =
                if a.max(b) <= tolerance { Key::InsideTolerance } else { Key::OutsideTolerance };
            let [a, b] = [a, b].map(|v| length(v, 2));
            let (tolerance, times) = (length(tolerance, 1), MAGNIFICATION.to_string());
            format(Key::ChartSpreadSays, &[text(inside), &a, &b, &tolerance, &times])
        }
        Some(Err(none)) => format(Key::NoForecast, &[&say(&none.why)]),
        None => String::new(),
    };
    view! {
        <Figure test_id="chart-spread" title=Key::ChartSpread caption>
            <PlanDrawing class="sheet chart-spread" label=text(Key::ChartSpread) part forecast />
        </Figure>
    }
}
