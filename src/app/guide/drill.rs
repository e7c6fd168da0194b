//! A drill: what the runs show, what is wrong with the cell, and how it is repaired.

use crate::app::i18n::{Key, format, say, text};
use crate::app::logic::describe::run_kind;
use crate::app::logic::evidence::facts;
use crate::app::logic::playback::Playback;
use crate::app::logic::shown::{Verdict, verdict};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::{FaultKind, Repair};
use nudgeproof::lesson::Lesson;
use nudgeproof::routine::{Event, RunLog};
use nudgeproof::session::Action;
use std::sync::Arc;

/// Every run in one line each, with its log behind it.
#[component]
fn Evidence() -> impl IntoView {
    let workspace = workspace();
    view! {
        <ul class="evidence" data-testid="evidence">
            <For
                each=move || workspace.told_runs().into_iter().enumerate()
                key=|(index, log)| (*index, Arc::as_ptr(log) as usize)
                let((index, log))
            >
                <RunEvidence index log />
            </For>
        </ul>
    }
}

#[component]
fn RunEvidence(
    /// Number of the run in the session, from 0.
    index: usize,
    log: Arc<RunLog>,
) -> impl IntoView {
    let workspace = workspace();
    let outcome = match verdict(Some(&log), None) {
        Verdict::OnSeam(_) => format!("✓ {}", text(Key::VerdictOnSeam)),
        Verdict::Missed(_) => format!("✗ {}", text(Key::VerdictMissed)),
        Verdict::Stopped(why) => format!("⬣ {why}"),
        _ => text(Key::VerdictNoWeld).into(),
    };
    let (number, kind, end) = (log.number, run_kind(log.kind), log.duration);
    let event = |e: &Event| view! { <li>{say(&log.says(&e.what))}</li> };
    let events = log.events.iter().map(event).collect_view();
    let facts = Memo::new(move |_| facts(index, &log, &workspace.state()));
    let fact = |fact| view! { <p class="fact">{fact}</p> };
    view! {
        <li>
            <p>
                <b>{number}" · "{kind}</b>
                " · "
                {outcome}
            </p>
            {move || facts.get().into_iter().map(fact).collect_view()}
            <div class="row-tools">
                <button
                    type="button"
                    data-testid=format!("show-run-{}", index + 1)
                    on:click=move |_| workspace.playback.set(Some(Playback::at(index, end, end)))
                >
                    {text(Key::ShowRun)}
                </button>
                <details>
                    <summary>{text(Key::RunLog)}</summary>
                    <ol class="run-log">{events}</ol>
                </details>
            </div>
        </li>
    }
}

/// One of several answers. Once it has been tried it stays on the page, with a reply.
#[component]
fn Choice(
    /// Name for tests.
    test_id: String,
    says: &'static str,
    tried: Memo<bool>,
    /// The reply, once it has been tried.
    #[prop(into)]
    answer: String,
    on_press: impl Fn() + 'static,
) -> impl IntoView {
    view! {
        <li>
            <button
                type="button"
                data-testid=test_id
                disabled=tried
                aria-pressed=move || tried.get().to_string()
                on:click=move |_| on_press()
            >
                {says}
            </button>
            {move || {
                tried.get().then(|| view! { <p class="fact" role="status">{answer.clone()}</p> })
            }}
        </li>
    }
}

/// What may be wrong. A wrong cause that was named stays, with the sign it would show.
#[component]
pub(super) fn Causes(lesson: Arc<Lesson>) -> impl IntoView {
    let workspace = workspace();
    let named = Memo::new(move |_| workspace.state().named.clone());
    let right = lesson.cause();
    let row = move |cause: &'static FaultKind| {
        let tried = Memo::new(move |_| named.read().iter().any(|n| n == cause.name));
        let name = move || {
            let mut actions = vec![Action::Name { cause: cause.name.into() }];
            if right == Some(cause.name) {
                actions.push(Action::Reveal);
            }
            workspace.act_all(actions);
        };
        view! {
            <Choice
                test_id=format!("cause-{}", cause.name)
                says=cause.says
                tried
                answer=format(Key::CauseOther, &[cause.sign])
                on_press=name
            />
        }
    };
    view! {
        <Evidence />
        <fieldset class="ask" data-testid="drill">
            <legend>
                <p>{text(Key::CauseAsk)}</p>
            </legend>
            <ul class="causes">{lesson.causes().into_iter().map(row).collect_view()}</ul>
        </fieldset>
    }
}

/// The possible repairs, one of which is the right one.
#[component]
pub(super) fn Mends(lesson: Arc<Lesson>) -> impl IntoView {
    let workspace = workspace();
    let right = lesson.cause();
    let begun = lesson.start_actions();
    let sign = lesson.causes().into_iter().find(|c| Some(c.name) == right).map(|cause| {
        let sign = format(Key::CauseRight, &[cause.sign]);
        view! { <p class="answer" data-testid="sign">{sign}</p> }
    });
    let row = move |cause: &'static FaultKind| {
        let action = move || mend(cause, workspace.state_untracked().settings.stick_out_mm);
        let tried = Memo::new(move |_| {
            workspace.track_session();
            let wanted = action();
            workspace.with_session(|s| s.actions().iter().skip(begun).any(|a| *a == wanted))
        });
        let answer = if right == Some(cause.name) { Key::MendRight } else { Key::MendOther };
        view! {
            <Choice
                test_id=format!("repair-{}", cause.name)
                says=cause.mend
                tried
                answer=text(answer)
                on_press=move || {
                    workspace.act_all(workspace.state_untracked().by_hand([action()]));
                }
            />
        }
    };
    view! {
        {sign}
        <fieldset class="ask" data-testid="mends">
            <legend>
                <p>{text(Key::MendAsk)}</p>
            </legend>
            <ul class="causes">{lesson.causes().into_iter().map(row).collect_view()}</ul>
        </fieldset>
    }
}

/// The action that repairs a cause.
fn mend(cause: &FaultKind, stick_out_mm: f64) -> Action {
    match cause.repair {
        Repair::CutWire => Action::CutWire { stick_out_mm },
        Repair::ClearFault => Action::ClearFault { fault: cause.name.into() },
    }
}
