//! A drill: what the runs show, what is wrong with the cell, and what mends it.

use crate::app::desk::desk;
use crate::app::live::memo;
use crate::app::logic::describe::{self, run_kind};
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{length, signed, signed_length};
use crate::app::logic::playback::Playback;
use crate::app::logic::reading::{depths, found};
use crate::app::logic::shown::{Verdict, verdict};
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::lesson::{Cause, Lesson};
use nudgeproof::routine::{RunKind, RunLog};
use nudgeproof::session::{Action, State};
use std::sync::Arc;

/// Every run in one line each, with its log behind it.
fn evidence() -> AnyView {
    let desk = desk();
    let all = move || {
        let state = desk.state();
        let runs = desk.runs.get();
        runs.iter().enumerate().map(|(i, log)| run_line(i, log, &state)).collect_view()
    };
    view! {
        <ul class="evidence" data-testid="evidence">{all}</ul>
    }
    .into_any()
}

fn run_line(i: usize, log: &Arc<RunLog>, state: &State) -> AnyView {
    let desk = desk();
    let how = match verdict(Some(log), None) {
        Verdict::OnSeam(_) => format!("✓ {}", say(Word::VerdictOnSeam)),
        Verdict::Missed(_) => format!("✗ {}", say(Word::VerdictMissed)),
        Verdict::Stopped(why) => format!("⬣ {why}"),
        _ => say(Word::VerdictNoWeld).into(),
    };
    let mut facts = Vec::new();
    if let Some(f) = found(log, state) {
        let n = Nudge::of(&f.motion);
        let [x, y] = [n.dx, n.dy].map(|v| signed_length(v, 1));
        let turn = signed(n.turn_deg, 1);
        facts.push(tell(Word::EvidenceOffset, &[&x, &y, &turn]));
        if let Some(r) = f.residual_mm {
            facts.push(tell(Word::ResidualIs, &[&length(r, 2)]));
        }
    }
    // Only what came after the reference can be held against it.
    let reference = state.runs.iter().rposition(|r| r.kind == RunKind::Reference);
    if reference.is_some_and(|r| i > r) {
        let each: Vec<_> = depths(log, state).into_iter().map(|mm| signed_length(mm, 1)).collect();
        if !each.is_empty() {
            facts.push(tell(Word::EvidenceDepth, &[&each.join(", ")]));
        }
    }
    if let Some(w) = log.welds.first() {
        let [a, b] = [0, 1].map(|k| signed_length(w.miss[k].across_mm, 1));
        let height = w
            .miss
            .iter()
            .map(|m| m.height_mm)
            .fold(0.0, |a: f64, b| if b.abs() > a.abs() { b } else { a });
        facts.push(tell(Word::EvidenceWeld, &[&a, &b, &signed_length(height, 1)]));
    }
    let events: Vec<_> = log.events.iter().map(|e| describe::event(log, e)).collect();
    let end = log.duration;
    view! {
        <li>
            <p><b>{log.number}" · "{run_kind(log.kind)}</b>" · "{how}</p>
            {facts.into_iter().map(|f| view! { <p class="fact">{f}</p> }).collect_view()}
            <div class="row-tools">
                <button type="button" data-testid=format!("show-run-{}", i + 1)
                    on:click=move |_| desk.playback.set(Some(Playback::at(i, end, end)))>
                    {say(Word::ShowRun)}
                </button>
                <details>
                    <summary>{say(Word::RunLog)}</summary>
                    <ol class="run-log">{events.into_iter().map(|e| view! { <li>{e}</li> }).collect_view()}</ol>
                </details>
            </div>
        </li>
    }
    .into_any()
}

/// What may be wrong. What was named and is not it stays, struck out, with what one would see.
pub(super) fn causes_view(lesson: &Lesson) -> AnyView {
    let desk = desk();
    let named = memo(move || desk.now.read().state.named.clone());
    let right = lesson.cause();
    let row = move |cause: &'static Cause| {
        let tried = move || named.get().iter().any(|n| n == cause.name);
        let name = move |_| {
            let mut actions = vec![Action::Name { cause: cause.name.into() }];
            if right == Some(cause.name) {
                actions.push(Action::Reveal);
            }
            desk.act_all(actions);
        };
        view! {
            <li>
                <button type="button" data-testid=format!("cause-{}", cause.name)
                    disabled=tried aria-pressed=move || tried().to_string() on:click=name>
                    {cause.says}
                </button>
                {move || tried().then(|| view! {
                    <p role="status" class="fact">{tell(Word::CauseOther, &[cause.sign])}</p>
                })}
            </li>
        }
    };
    view! {
        {evidence()}
        <fieldset class="ask" data-testid="drill">
            <legend><p>{say(Word::CauseAsk)}</p></legend>
            <ul class="causes">{lesson.causes().into_iter().map(row).collect_view()}</ul>
        </fieldset>
    }
    .into_any()
}

/// What mends it: one of these, and nothing else needs to be touched.
pub(super) fn mends_view(lesson: &Lesson) -> AnyView {
    let desk = desk();
    let right = lesson.cause();
    let begun = lesson.begun();
    let sign = lesson.causes().into_iter().find(|c| Some(c.name) == right).map(|c| c.sign);
    let row = move |cause: &'static Cause| {
        let act = move || mend(cause, desk.peek().settings.stick_out_mm);
        let tried = memo(move || {
            desk.now.track();
            let wanted = act();
            desk.with_session(|s| s.actions()[begun..].contains(&wanted))
        });
        let said = move || {
            tried.get().then(|| {
                let word =
                    if right == Some(cause.name) { Word::MendRight } else { Word::MendOther };
                view! { <p role="status" class="fact">{say(word)}</p> }
            })
        };
        view! {
            <li>
                <button type="button" data-testid=format!("repair-{}", cause.name)
                    disabled=move || tried.get() aria-pressed=move || tried.get().to_string()
                    on:click=move |_| { desk.act(act()); }>{cause.mend}</button>
                {said}
            </li>
        }
    };
    view! {
        {sign.map(|s| view! { <p class="answer" data-testid="sign">{tell(Word::CauseRight, &[s])}</p> })}
        <fieldset class="ask" data-testid="mends">
            <legend><p>{say(Word::MendAsk)}</p></legend>
            <ul class="causes">{lesson.causes().into_iter().map(row).collect_view()}</ul>
        </fieldset>
    }
    .into_any()
}

fn mend(cause: &Cause, stick_out_mm: f64) -> Action {
    match cause.name {
        "wire-bent" | "stick-out-changed" => Action::CutWire { stick_out_mm },
        other => Action::ClearFault { fault: other.into() },
    }
}
