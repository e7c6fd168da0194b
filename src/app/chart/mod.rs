//! Charts: where the weld will land, where it landed, and how well the touches agree. Each has a
//! sentence under it that says the same.

mod drawing;
mod frame;
mod residuals;
mod seam;

pub(crate) use drawing::{MAGNIFIED, WIDTH, plan};

use super::dom::{View, el};
use super::i18n::{Key, format, text};
use super::logic::forecast::{SIGMAS, blocks, spreads};
use super::logic::number::{length, signed_length};
use super::logic::shown::reference_pose;
use super::logic::svg_writer::SvgWriter;
use super::workspace::workspace;
use frame::SIZE;
use leptos::prelude::*;
use nudgeproof::routine::SolutionOutcome;

/// A drawing, its name and what it says. Empty where there is nothing to draw.
#[derive(Debug, Clone, PartialEq, Default)]
struct Chart {
    class: &'static str,
    size: [f64; 2],
    drawing: String,
    title: String,
    says: String,
}

/// Every chart there is something to draw in.
pub(crate) fn charts() -> View {
    let all = Memo::new(move |_| {
        let charts = [forecast(), seam_miss(), residuals()];
        charts.into_iter().flatten().collect::<Vec<Chart>>()
    });
    let figures = move || all.with(|charts| figures(charts));
    el("div").class("charts").html(figures)
}

fn figures(charts: &[Chart]) -> String {
    let mut m = SvgWriter::default();
    if charts.is_empty() {
        m.says("p", "empty", text(Key::ChartsEmpty));
    }
    for c in charts {
        m.enter("figure", "chart", &[("data-testid", c.class)]).enter("figcaption", "", &[]);
        m.says("b", "", &c.title).word(" ").word(&c.says).leave("figcaption");
        let view_box = format!("0 0 {} {:.0}", c.size[0], c.size[1]);
        let attributes = [("role", "img"), ("aria-label", &*c.title), ("viewBox", &view_box)];
        m.enter("svg", &["sheet ", c.class].concat(), &attributes).drawing(&c.drawing);
        m.leave("svg").leave("figure");
    }
    m.finish()
}

/// Where the ends of the weld will lie.
fn forecast() -> Option<Chart> {
    let workspace = workspace();
    let (state, part) = (workspace.state(), workspace.part());
    let blocks = blocks(&state);
    let found = spreads(&state, blocks.first()?);
    let pose = reference_pose(&state).unwrap_or_default();
    let (drawing, height) = plan(&part, &pose, &blocks, found.as_deref().unwrap_or_default());
    let tolerance = part.seams.first().map_or(0.0, |s| s.tolerance_mm);
    let says = match found {
        Err(why) => format(Key::NoForecast, &[&why]),
        Ok(ends) => {
            let [a, b] = [0, 1].map(|i| ends.get(i).map_or(0.0, |e| SIGMAS * e.across));
            let fill = [length(a, 2), length(b, 2), length(tolerance, 1), MAGNIFIED.to_string()];
            let inside =
                if a.max(b) <= tolerance { Key::InsideTolerance } else { Key::OutsideTolerance };
            let fill = fill.each_ref().map(String::as_str);
            format(Key::ChartSpreadSays, &[text(inside), fill[0], fill[1], fill[2], fill[3]])
        }
    };
    let title = text(Key::ChartSpread).into();
    Some(Chart { class: "chart-spread", size: [WIDTH, height], drawing, title, says })
}

/// Where the last weld of the run on show landed.
fn seam_miss() -> Option<Chart> {
    let log = workspace().shown_run()?;
    let weld = log.welds.last()?;
    let [a, b] = weld.miss.map(|m| signed_length(m.across_mm, 2));
    Some(Chart {
        class: "chart-seam",
        size: SIZE,
        drawing: seam::seam_chart(weld),
        title: text(Key::ChartSeam).into(),
        says: format(Key::ChartSeamSays, &[&a, &b, &length(weld.tolerance_mm, 1)]),
    })
}

/// How well the touches of the run on show agree.
fn residuals() -> Option<Chart> {
    let workspace = workspace();
    let log = workspace.shown_run()?;
    let (plan, located) = log.solutions.iter().rev().find_map(|s| match &s.outcome {
        SolutionOutcome::Found { located } => Some((&s.plan, located)),
        _ => None,
    })?;
    let limit = workspace.routine().plan(plan)?.residual_limit_mm;
    let all: Vec<String> = located
        .residuals
        .iter()
        .enumerate()
        .map(|(i, r)| format!("{}: {}", i + 1, signed_length(*r, 2)))
        .collect();
    Some(Chart {
        class: "chart-residuals",
        size: SIZE,
        drawing: residuals::residual_chart(&located.residuals, limit),
        title: text(Key::ChartResiduals).into(),
        says: format(Key::ChartResidualsSays, &[&all.join(", "), &length(limit, 1)]),
    })
}
