//! Charts: where the weld will land, where it landed, and how well the touches agree. Each has a
//! sentence under it that says the same.

mod drawing;
mod frame;
mod residuals;
mod seam;

pub(crate) use drawing::{MAGNIFIED, WIDTH, plan};

use super::desk::desk;
use super::dom::{View, el};
use super::live::memo;
use super::logic::forecast::{SIGMAS, blocks, spreads};
use super::logic::markup::Markup;
use super::logic::number::{length, signed_length};
use super::logic::shown::reference_pose;
use super::words::{Word, say, tell};
use frame::SIZE;
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
    let all = memo(move || {
        let charts = [forecast(), seam_miss(), residuals()];
        charts.into_iter().flatten().collect::<Vec<Chart>>()
    });
    let figures = move || all.with(|charts| figures(charts));
    el("div").class("charts").html(figures)
}

fn figures(charts: &[Chart]) -> String {
    let mut m = Markup::default();
    if charts.is_empty() {
        m.says("p", "empty", say(Word::ChartsEmpty));
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
    let desk = desk();
    let (state, part) = (desk.state(), desk.part());
    let blocks = blocks(&state);
    let found = spreads(&state, blocks.first()?);
    let pose = reference_pose(&state).unwrap_or_default();
    let (drawing, height) = plan(&part, &pose, &blocks, found.as_deref().unwrap_or_default());
    let tolerance = part.seams.first().map_or(0.0, |s| s.tolerance_mm);
    let says = match found {
        Err(why) => tell(Word::NoForecast, &[&why]),
        Ok(ends) => {
            let [a, b] = [0, 1].map(|i| ends.get(i).map_or(0.0, |e| SIGMAS * e.across));
            let fill = [length(a, 2), length(b, 2), length(tolerance, 1), MAGNIFIED.to_string()];
            let inside =
                if a.max(b) <= tolerance { Word::InsideTolerance } else { Word::OutsideTolerance };
            let fill = fill.each_ref().map(String::as_str);
            tell(Word::ChartSpreadSays, &[say(inside), fill[0], fill[1], fill[2], fill[3]])
        }
    };
    let title = say(Word::ChartSpread).into();
    Some(Chart { class: "chart-spread", size: [WIDTH, height], drawing, title, says })
}

/// Where the last weld of the run on show landed.
fn seam_miss() -> Option<Chart> {
    let log = desk().shown_run()?;
    let weld = log.welds.last()?;
    let [a, b] = weld.miss.map(|m| signed_length(m.across_mm, 2));
    Some(Chart {
        class: "chart-seam",
        size: SIZE,
        drawing: seam::seam_chart(weld),
        title: say(Word::ChartSeam).into(),
        says: tell(Word::ChartSeamSays, &[&a, &b, &length(weld.tolerance_mm, 1)]),
    })
}

/// How well the touches of the run on show agree.
fn residuals() -> Option<Chart> {
    let desk = desk();
    let log = desk.shown_run()?;
    let (plan, located) = log.solutions.iter().rev().find_map(|s| match &s.outcome {
        SolutionOutcome::Found { located } => Some((&s.plan, located)),
        _ => None,
    })?;
    let limit = desk.routine().plan(plan)?.residual_limit_mm;
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
        title: say(Word::ChartResiduals).into(),
        says: tell(Word::ChartResidualsSays, &[&all.join(", "), &length(limit, 1)]),
    })
}
