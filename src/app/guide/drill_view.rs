//! A drill: what the runs show, what is wrong with the cell, and what mends it.

use crate::app::dom::{View, button, el, several};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::describe::{self, run_kind};
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{length, signed, signed_length};
use crate::app::logic::playback::Playback;
use crate::app::logic::reading::{depths, found};
use crate::app::logic::shown::{Verdict, verdict};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::lesson::{Cause, Lesson};
use nudgeproof::routine::{RunKind, RunLog};
use nudgeproof::session::{Action, State};
use std::sync::Arc;

/// Every run in one line each, with its log behind it.
fn evidence() -> View {
    let workspace = workspace();
    let all = move || {
        let state = workspace.state();
        let runs = workspace.runs.get();
        runs.iter().enumerate().map(|(i, log)| run_line(i, log, &state)).collect::<Vec<_>>()
    };
    el("ul").class("evidence").test_id("evidence").child(all)
}

fn run_line(i: usize, log: &Arc<RunLog>, state: &State) -> View {
    let workspace = workspace();
    let how = match verdict(Some(log), None) {
        Verdict::OnSeam(_) => format!("✓ {}", text(Key::VerdictOnSeam)),
        Verdict::Missed(_) => format!("✗ {}", text(Key::VerdictMissed)),
        Verdict::Stopped(why) => format!("⬣ {why}"),
        _ => text(Key::VerdictNoWeld).into(),
    };
    let mut facts = Vec::new();
    if let Some(f) = found(log, state) {
        let n = Nudge::of(&f.motion);
        let [x, y] = [n.dx, n.dy].map(|v| signed_length(v, 1));
        let turn = signed(n.turn_deg, 1);
        facts.push(format(Key::EvidenceOffset, &[&x, &y, &turn]));
        if let Some(r) = f.residual_mm {
            facts.push(format(Key::ResidualIs, &[&length(r, 2)]));
        }
    }
    // Only what came after the reference can be held against it.
    let reference = state.runs.iter().rposition(|r| r.kind == RunKind::Reference);
    if reference.is_some_and(|r| i > r) {
        let each: Vec<_> = depths(log, state).into_iter().map(|mm| signed_length(mm, 1)).collect();
        if !each.is_empty() {
            facts.push(format(Key::EvidenceDepth, &[&each.join(", ")]));
        }
    }
    if let Some(w) = log.welds.first() {
        let [a, b] = [0, 1].map(|k| signed_length(w.miss[k].across_mm, 1));
        let height = w
            .miss
            .iter()
            .map(|m| m.height_mm)
            .fold(0.0, |a: f64, b| if b.abs() > a.abs() { b } else { a });
        facts.push(format(Key::EvidenceWeld, &[&a, &b, &signed_length(height, 1)]));
    }
    let events: Vec<_> = log.events.iter().map(|e| describe::event(log, e)).collect();
    let end = log.duration;
    el("li")
        .child(
            el("p")
                .child(el("b").text(log.number).text(" · ").text(run_kind(log.kind)))
                .text(" · ")
                .text(how),
        )
        .children(facts.into_iter().map(|f| el("p").class("fact").text(f)))
        .child(
            el("div")
                .class("row-tools")
                .child(
                    button(format!("show-run-{}", i + 1))
                        .click(move || workspace.playback.set(Some(Playback::at(i, end, end))))
                        .text(Key::ShowRun),
                )
                .child(
                    el("details").child(el("summary").text(Key::RunLog)).child(
                        el("ol")
                            .class("run-log")
                            .children(events.into_iter().map(|e| el("li").text(e))),
                    ),
                ),
        )
}

/// What may be wrong. What was named and is not it stays, struck out, with what one would see.
pub(super) fn causes_view(lesson: &Lesson) -> View {
    let workspace = workspace();
    let named = Memo::new(move |_| workspace.state().named.clone());
    let right = lesson.cause();
    let row = move |cause: &'static Cause| {
        let tried = move || named.get().iter().any(|n| n == cause.name);
        let name = move || {
            let mut actions = vec![Action::Name { cause: cause.name.into() }];
            if right == Some(cause.name) {
                actions.push(Action::Reveal);
            }
            workspace.act_all(actions);
        };
        el("li")
            .child(
                button(format!("cause-{}", cause.name))
                    .attr("disabled", tried)
                    .attr("aria-pressed", move || tried().to_string())
                    .click(name)
                    .text(cause.says),
            )
            .child(move || {
                tried().then(|| {
                    el("p")
                        .class("fact")
                        .attr("role", "status")
                        .text(format(Key::CauseOther, &[cause.sign]))
                })
            })
    };
    several().child(evidence()).child(
        el("fieldset")
            .class("ask")
            .test_id("drill")
            .child(el("legend").child(el("p").text(Key::CauseAsk)))
            .child(el("ul").class("causes").children(lesson.causes().into_iter().map(row))),
    )
}

/// What mends it: one of these, and nothing else needs to be touched.
pub(super) fn mends_view(lesson: &Lesson) -> View {
    let workspace = workspace();
    let right = lesson.cause();
    let begun = lesson.begun();
    let sign = lesson.causes().into_iter().find(|c| Some(c.name) == right).map(|c| c.sign);
    let row = move |cause: &'static Cause| {
        let act = move || mend(cause, workspace.state_untracked().settings.stick_out_mm);
        let tried = Memo::new(move |_| {
            workspace.track_session();
            let wanted = act();
            workspace.with_session(|s| s.actions()[begun..].contains(&wanted))
        });
        let said = move || {
            tried.get().then(|| {
                let word = if right == Some(cause.name) { Key::MendRight } else { Key::MendOther };
                el("p").class("fact").attr("role", "status").text(word)
            })
        };
        el("li")
            .child(
                button(format!("repair-{}", cause.name))
                    .attr("disabled", move || tried.get())
                    .attr("aria-pressed", move || tried.get().to_string())
                    .click(move || {
                        workspace.act(act());
                    })
                    .text(cause.mend),
            )
            .child(said)
    };
    several()
        .child(
            sign.map(|s| {
                el("p").class("answer").test_id("sign").text(format(Key::CauseRight, &[s]))
            }),
        )
        .child(
            el("fieldset")
                .class("ask")
                .test_id("mends")
                .child(el("legend").child(el("p").text(Key::MendAsk)))
                .child(el("ul").class("causes").children(lesson.causes().into_iter().map(row))),
        )
}

fn mend(cause: &Cause, stick_out_mm: f64) -> Action {
    match cause.name {
        "wire-bent" | "stick-out-changed" => Action::CutWire { stick_out_mm },
        other => Action::ClearFault { fault: other.into() },
    }
}
