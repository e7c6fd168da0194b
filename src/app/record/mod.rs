//! The record: what was done, how it went, and files to keep.

mod course_record;
mod files;
mod saves;

pub(crate) use files::hand_out;

use super::dom::{View, column, el, several};
use super::guide::{finding_line, rule_title, score_view};
use super::i18n::{Key, format, text};
use super::logic::describe::run_kind;
use super::logic::nudge::Nudge;
use super::logic::number::{signed, signed_length, unit};
use super::logic::shown::{Verdict, found_offset, verdict};
use super::run::safety_text;
use super::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::routine::{RunLog, RunSpeed};

/// The record of this session.
pub(crate) fn record_place() -> View {
    let workspace = workspace();
    let runs = move || {
        let runs = workspace.runs.get();
        if runs.is_empty() {
            return el("p").class("empty").text(Key::NoRunYet);
        }
        el("div")
            .class("table-holder")
            .attr("tabindex", "0")
            .attr("role", "region")
            .attr("aria-label", Key::Runs)
            .child(
                el("table")
                    .class("readings")
                    .test_id("runs")
                    .child(
                        el("thead").child(
                            el("tr")
                                .child(column().text(Key::Run))
                                .child(column().text(Key::ColKind))
                                .child(column().text(Key::Speed))
                                .child(column().text(Key::ColArc))
                                .child(column().text(Key::ColOffset))
                                .child(column().text(Key::ColEnd))
                                .child(column().text(format(Key::ColWorst, &[]))),
                        ),
                    )
                    .child(el("tbody").children(runs.iter().map(|log| run_row(log)))),
            )
    };
    workspace.review.request();
    let findings = move || {
        workspace.review.last().map(|review| {
            several()
                .child(score_view(review.clone()))
                .child(el("ul").class("finding-lines").children(review.findings.iter().map(|f| {
                    el("li")
                        .child(el("b").text(rule_title(f.rule)))
                        .text(". ")
                        .text(finding_line(f))
                })))
                .child(review.findings.is_empty().then(|| el("p").text(Key::NoFindings)))
        })
    };
    el("div")
        .class("page record")
        .test_id("record")
        .attr("aria-busy", move || workspace.review.busy().to_string())
        .child(el("h1").text(Key::PlaceRecord))
        .child(course_record::course_record())
        .child(el("h2").text(Key::ThisSession))
        .child(el("p").class("lead").text(move || workspace.part().title.clone()))
        .child(files::files())
        .child(saves::saves())
        .child(el("h2").text(Key::Runs))
        .child(runs)
        .child(el("h2").text(Key::Coach))
        .child(findings)
        .child(el("h2").text(Key::SafetyTitle))
        .child(el("div").class("caution-box").child(safety_text().map(|p| el("p").text(p))))
}

fn run_row(log: &RunLog) -> View {
    let offset = found_offset(log, f64::MAX).map_or_else(
        || "–".to_owned(),
        |(s, pose)| {
            let n = Nudge::of(&pose);
            format!(
                "{}: {} / {} {}, {}°",
                s.offset,
                signed_length(n.dx, 2),
                signed_length(n.dy, 2),
                unit(),
                signed(n.turn_deg, 2)
            )
        },
    );
    let (end, worst) = match verdict(Some(log), None) {
        Verdict::OnSeam(m) => (format!("✓ {}", text(Key::VerdictOnSeam)), Some(m)),
        Verdict::Missed(m) => (format!("✗ {}", text(Key::VerdictMissed)), Some(m)),
        Verdict::Stopped(why) => (format!("⬣ {why}"), None),
        Verdict::Paused => (text(Key::VerdictPaused).into(), None),
        _ => (text(Key::VerdictNoWeld).into(), None),
    };
    let speed = match log.speed {
        RunSpeed::Reduced => Key::SpeedReduced,
        RunSpeed::Full => Key::SpeedFull,
    };
    el("tr")
        .child(el("td").text(log.number))
        .child(el("td").text(run_kind(log.kind)))
        .child(el("td").text(speed))
        .child(el("td").text(text(if log.arc { Key::On } else { Key::Off })))
        .child(el("td").text(offset))
        .child(el("td").text(end))
        .child(el("td").text(worst.map_or_else(|| "–".into(), |m| signed_length(m, 2))))
}
