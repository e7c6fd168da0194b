use super::finding_view::{finding_card, finding_line};
use super::score_view::score_view;
use crate::app::dom::{View, each, el, note, several, when};
use crate::app::i18n::{Key, format};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::coach::Finding;

/// What the coach has to say: quiet while the routine is built and while a run is shown; after it,
/// the worst first.
pub(super) fn coach_panel() -> View {
    let workspace = workspace();
    let running = Memo::new(move |_| workspace.playback.beat().is_some_and(|p| p.t < p.until));
    let ran = Memo::new(move |_| !workspace.runs.read().is_empty());
    el("div")
        .class("coach")
        .test_id("coach")
        .attr("aria-busy", move || workspace.review.busy().to_string())
        .child(move || {
            let (running, ran) = (running.get(), ran.get());
            untrack(|| match (running, ran) {
                (true, _) => watches(),
                (false, true) => spoken(),
                (false, false) => quiet(),
            })
        })
}

fn watches() -> View {
    el("p").class("empty").text(Key::CoachWatches)
}

/// What can be said of the routine alone.
fn quiet() -> View {
    let workspace = workspace();
    let marks = workspace.review.marks();
    let nothing = move || {
        let empty = workspace.routine().steps.is_empty();
        if empty { Key::CoachWaits } else { Key::CoachQuiet }
    };
    several()
        .child(when(
            move || marks.read().is_empty(),
            move || el("p").class("empty").test_id("coach-quiet").text(nothing),
        ))
        .child(when(
            move || !marks.read().is_empty(),
            move || {
                note().text(move || format(Key::CoachMarks, &[&marks.read().len().to_string()]))
            },
        ))
        .child(cards(move || marks.get(), false))
}

/// What the runs have shown.
fn spoken() -> View {
    let workspace = workspace();
    let findings = move || workspace.review.last().map(|r| r.findings.clone()).unwrap_or_default();
    several()
        .child(move || match workspace.review.last() {
            None => Some(watches()),
            Some(review) => workspace.attempt.read().is_none().then(|| score_view(review)),
        })
        .child(when(
            move || workspace.review.last().is_some_and(|r| r.findings.is_empty()),
            || el("p").class("no-findings").test_id("no-findings").text(Key::NoFindings),
        ))
        .child(cards(findings, true))
}

/// A card for each finding. It stays as it is, opened or closed, as long as the finding does.
fn cards(findings: impl Fn() -> Vec<Finding> + Copy + 'static, first_open: bool) -> View {
    let key = |f: &Finding| {
        let step = f.step.map(|id| id.0.to_string()).unwrap_or_default();
        let run = f.run.map(|n| n.to_string()).unwrap_or_default();
        let time = f.time_s.map(|t| t.to_string()).unwrap_or_default();
        [f.rule, &step, &run, &time, &finding_line(f)].join(" ")
    };
    each(
        move || findings().iter().map(key).collect(),
        move |wanted| {
            let found = findings().into_iter().enumerate().find(|(_, f)| key(f) == wanted);
            let card = found.and_then(|(i, f)| finding_card(f, first_open && i == 0));
            card.unwrap_or_else(|| el("div"))
        },
    )
}
