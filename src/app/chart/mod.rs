//! Charts: where the weld will land, where it landed, and how well the touches agree. Each has a
//! caption with the same numbers.

mod figure;
mod plan_drawing;
mod plot;
mod residual_chart;
mod seam_chart;
mod spread_chart;

pub(crate) use plan_drawing::{MAGNIFICATION, scale_bar, spread};

use super::i18n::{Key, text};
use super::lessons::course;
use super::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::forecast::SeamForecast;
use residual_chart::{ResidualChart, residuals};
use seam_chart::{SeamChart, last_weld};
use spread_chart::SpreadChart;

/// Every chart that there is something to draw in.
#[component]
pub(crate) fn Charts() -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let forecast = Memo::new(move |_| SeamForecast::of(&workspace.state()));
    let weld = Memo::new(move |_| last_weld(workspace));
    let residuals = Memo::new(move |_| residuals(workspace));
    let planned = move || !forecast.read().finds.is_empty();
    let empty = move || !planned() && weld.read().is_none() && residuals.read().is_none();
    view! {
        <div class="charts">
            <Show when=empty>
                <p class="empty">{text(Key::ChartsEmpty)}</p>
            </Show>
            {move || {
                let (forecast, part) = (forecast.get(), workspace.part());
                // Why there is no forecast tells how a run will end.
                let tells = forecast.lacks() && course.standing.read().quiet;
                (planned() && !tells).then(|| view! { <SpreadChart forecast part /> })
            }}
            {move || weld.get().map(|weld| view! { <SeamChart weld /> })}
            {move || residuals.get().map(|residuals| view! { <ResidualChart residuals /> })}
        </div>
    }
}
