use super::figure::Figure;
use super::plot::{Plot, PlotChart};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::{length, signed_length};
use crate::app::sheet::{label, rect};
use crate::app::workspace::Workspace;
use kurbo::{Point, Rect};
use leptos::prelude::*;
use nudgeproof::locate::chi2_limit;
use nudgeproof::routine::SolutionOutcome;

/// How well the touches of a run agree.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RunResiduals {
    /// Name of the place.
    place: String,
    /// Residual of each touch after the fit, mm.
    values: Vec<f64>,
    /// A touch that is off by more fails the test of agreement alone, mm.
    limit: f64,
    /// Whether the touches pass the test of agreement; `None` where none is to spare.
    agree: Option<bool>,
}

/// The residuals of the last place that the run on show found.
pub(super) fn residuals(workspace: Workspace) -> Option<RunResiduals> {
    let log = workspace.run_so_far()?;
    let (place, fit) = log.solutions.iter().rev().find_map(|s| match &s.outcome {
        SolutionOutcome::Found { located, .. } => Some((&s.place, located)),
        _ => None,
    })?;
    let squares: f64 = fit.residuals.iter().map(|e| e * e).sum();
    let variance = if fit.chi2 > 0.0 { squares / fit.chi2 } else { 0.0 };
    Some(RunResiduals {
        place: place.clone(),
        values: fit.residuals.to_vec(),
        limit: (variance * chi2_limit(fit.redundancy.max(1))).sqrt(),
        agree: (fit.redundancy > 0).then_some(fit.consistent),
    })
}

/// Widest column, pixels.
const WIDEST: f64 = 36.0;

/// A column for the residual of each touch.
#[component]
pub(super) fn ResidualChart(residuals: RunResiduals) -> impl IntoView {
    let RunResiduals { place, values, limit, agree } = residuals;
    let plot = Plot::new(&values, limit);
    let each = plot.area.width() / values.len().max(1) as f64;
    let width = (each * 0.5).min(WIDEST);
    let column = move |(i, v): (usize, f64)| {
        let x = plot.area.x0 + (i as f64 + 0.5) * each;
        let (top, bottom) = (plot.y(v.max(0.0)), plot.y(v.min(0.0)));
        let area = Rect::from_origin_size((x - width / 2.0, top), (width, (bottom - top).max(1.0)));
        let class = if v.abs() > limit { "column out" } else { "column" };
        let number = Point::new(x, if v < 0.0 { bottom + 12.0 } else { top - 4.0 });
        view! {
            {rect(class, &area)}
            {label("value", number, "middle", signed_length(v, 2))}
            {label("name", Point::new(x, plot.names()), "middle", (i + 1).to_string())}
        }
    };
    let all = values.iter().enumerate();
    let all: Vec<_> = all.map(|(i, v)| format!("{}: {}", i + 1, signed_length(*v, 2))).collect();
    let verdict = text(match agree {
        Some(true) => Key::TouchesAgree,
        Some(false) => Key::TouchesDisagree,
        None => Key::NoneToSpare,
    });
    let fill = [&*place, &*all.join(", "), verdict, &*length(limit, 1)];
    let caption = format(Key::ChartResidualsSays, &fill);
    view! {
        <Figure test_id="chart-residuals" title=Key::ChartResiduals caption>
            <PlotChart class="sheet chart-residuals" title=Key::ChartResiduals plot>
                {values.into_iter().enumerate().map(column).collect_view()}
            </PlotChart>
        </Figure>
    }
}
