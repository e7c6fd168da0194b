use super::figure::Figure;
use super::plot::{Plot, PlotChart};
use crate::app::i18n::{Key, format};
use crate::app::logic::number::{length, signed_length};
use crate::app::sheet::{label, rect};
use crate::app::workspace::Workspace;
use kurbo::{Point, Rect};
use leptos::prelude::*;
use nudgeproof::routine::SolutionOutcome;

/// How well the touches of a run agree.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RunResiduals {
    /// Residual of each touch after the fit, mm.
    values: Vec<f64>,
    /// A touch with a greater residual is in doubt, mm.
    limit: f64,
}

/// The residuals of the last offset that the run on show found.
pub(super) fn residuals(workspace: Workspace) -> Option<RunResiduals> {
    let log = workspace.shown_run()?;
    let (plan, located) = log.solutions.iter().rev().find_map(|s| match &s.outcome {
        SolutionOutcome::Found { located } => Some((&s.plan, located)),
        _ => None,
    })?;
    let limit = workspace.routine().plan(plan)?.residual_limit_mm;
    Some(RunResiduals { values: located.residuals.to_vec(), limit })
}

/// Widest column, pixels.
const WIDEST: f64 = 36.0;

/// A column for the residual of each touch.
#[component]
pub(super) fn ResidualChart(residuals: RunResiduals) -> impl IntoView {
    let RunResiduals { values, limit } = residuals;
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
    let caption = format(Key::ChartResidualsSays, &[&all.join(", "), &length(limit, 1)]);
    view! {
        <Figure test_id="chart-residuals" title=Key::ChartResiduals caption>
            <PlotChart class="sheet chart-residuals" title=Key::ChartResiduals plot>
                {values.into_iter().enumerate().map(column).collect_view()}
            </PlotChart>
        </Figure>
    }
}
