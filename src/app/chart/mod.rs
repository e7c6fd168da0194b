//! Charts: where the weld will land, where it landed, and how well the touches agree. Each has a
//! caption with the same numbers.

mod plan_drawing;
mod plot;
mod residual_chart;
mod seam_chart;

pub(crate) use plan_drawing::{MAGNIFICATION, PlanDrawing};

use super::i18n::{Key, format, text};
use super::logic::forecast::{Forecast, SIGMAS};
use super::logic::number::length;
use super::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::Part;
use residual_chart::{ResidualChart, residuals};
use seam_chart::{SeamChart, last_weld};
use std::sync::Arc;

/// Every chart that there is something to draw in.
#[component]
pub(crate) fn Charts() -> impl IntoView {
    let workspace = workspace();
    let forecast = Memo::new(move |_| Forecast::of(&workspace.state()));
    let weld = Memo::new(move |_| last_weld(workspace));
    let residuals = Memo::new(move |_| residuals(workspace));
    let planned = move || !forecast.read().blocks.is_empty();
    let empty = move || !planned() && weld.read().is_none() && residuals.read().is_none();
    view! {
        <div class="charts">
            <Show when=empty>
                <p class="empty">{text(Key::ChartsEmpty)}</p>
            </Show>
            {move || {
                let (forecast, part) = (forecast.get(), workspace.part());
                planned().then(|| view! { <SpreadChart forecast part /> })
            }}
            {move || weld.get().map(|weld| view! { <SeamChart weld /> })}
            {move || residuals.get().map(|residuals| view! { <ResidualChart residuals /> })}
        </div>
    }
}

/// A chart under its title and a sentence with the same numbers.
#[component]
fn Figure(test_id: &'static str, title: Key, caption: String, children: Children) -> impl IntoView {
    view! {
        <figure class="chart" data-testid=test_id>
            <figcaption>
                <b>{text(title)}</b>
                {format!(" {caption}")}
            </figcaption>
            {children()}
        </figure>
    }
}

/// Where the ends of the weld will lie.
#[component]
fn SpreadChart(forecast: Forecast, part: Arc<Part>) -> impl IntoView {
    let tolerance = part.seams.first().map_or(0.0, |s| s.tolerance_mm);
    let caption = match &forecast.ends {
        Some(Ok(ends)) => {
            let [a, b] = [0, 1].map(|i| ends.get(i).map_or(0.0, |e| SIGMAS * e.across));
            let inside =
                if a.max(b) <= tolerance { Key::InsideTolerance } else { Key::OutsideTolerance };
            let [a, b] = [a, b].map(|v| length(v, 2));
            let (tolerance, times) = (length(tolerance, 1), MAGNIFICATION.to_string());
            format(Key::ChartSpreadSays, &[text(inside), &a, &b, &tolerance, &times])
        }
        Some(Err(why)) => format(Key::NoForecast, &[why]),
        None => String::new(),
    };
    view! {
        <Figure test_id="chart-spread" title=Key::ChartSpread caption>
            <PlanDrawing class="sheet chart-spread" label=text(Key::ChartSpread) part forecast />
        </Figure>
    }
}
