//! A drill: what the runs read, what looks show, what is wrong with the cell, and how it is mended.

use crate::app::i18n::{Key, format, say, text};
use crate::app::logic::describe::run_kind;
use crate::app::logic::evidence::{self, facts};
use crate::app::logic::playback::Playback;
use crate::app::logic::shown::{Verdict, verdict};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::{FaultKind, Look, Mend, fault_kind};
use nudgeproof::lesson::{JudgedCause, Lesson};
use nudgeproof::routine::{Event, RunLog};
use nudgeproof::session::{self, Action, NOTHING_WRONG, NamedCause};
use std::sync::Arc;

/// Minutes used so far.
#[component]
fn Clock(lesson: Arc<Lesson>) -> impl IntoView {
    let workspace = workspace();
    let used = Memo::new(move |_| {
        workspace.track_session();
        workspace.with_session(|s| lesson.minutes_used(s))
    });
    view! {
        <p class="drill-clock" role="status" data-testid="drill-clock" data-value=used>
            {move || format(Key::MinutesUsed, &[&used.get().to_string()])}
        </p>
    }
}

/// Every run in one line each, with its log behind it.
#[component]
fn Runs() -> impl IntoView {
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

/// A button for each thing that can be looked at, with its minutes; beside it what was seen there last.
#[component]
fn Looks() -> impl IntoView {
    let workspace = workspace();
    let row = move |at: Look| {
        let seen = Memo::new(move |_| {
            let state = workspace.state();
            let look = state.looks.iter().rev().find(|look| look.at == at)?;
            Some(look.saw.iter().map(say).collect::<Vec<_>>().join(" "))
        });
        let look = move || {
            workspace.act_by_hand([Action::Look { at }]);
        };
        view! {
            <li>
                <button
                    type="button"
                    data-testid=format!("look-{}", at.name())
                    on:click=move |_| look()
                >
                    {with_minutes(text(evidence::look_name(at)), at.minutes())}
                </button>
                <p class="fact" role="status" data-testid=format!("saw-{}", at.name())>{seen}</p>
            </li>
        }
    };
    view! {
        <fieldset class="ask" data-testid="looks">
            <legend>
                <p>{text(Key::LooksAsk)}</p>
            </legend>
            <ul class="causes looks">{Look::all().map(row).collect_view()}</ul>
        </fieldset>
    }
}

/// Everything that speaks for a cause, or against it: what the runs read, and what looks show.
#[component]
pub(super) fn Evidence(lesson: Arc<Lesson>) -> impl IntoView {
    view! {
        <Clock lesson />
        <Runs />
        <Looks />
    }
}

/// What is done, with the minutes that it takes.
fn with_minutes(what: &str, minutes: u32) -> String {
    format(Key::WithMinutes, &[what, &minutes.to_string()])
}

/// What a cause is called.
fn says(cause: &str) -> &'static str {
    fault_kind(cause).map_or_else(|| text(Key::CauseNothing), |kind| kind.says)
}

/// What may be wrong: all of it is ticked at once, each with the evidence that speaks for it.
#[component]
pub(super) fn Causes(lesson: Arc<Lesson>) -> impl IntoView {
    let workspace = workspace();
    let ticked = RwSignal::new(Vec::<NamedCause>::new());
    let causes = std::iter::once(NOTHING_WRONG).chain(lesson.causes().into_iter().map(|c| c.name));
    let rows = causes.map(|cause| view! { <CauseRow cause ticked /> }).collect_view();
    let attempt = lesson.clone();
    let name = move || {
        let causes = ticked.get_untracked();
        let named = workspace.state_untracked().diagnosis(causes.clone());
        let right = attempt.judged(&named).is_right();
        let reveal = right.then_some(Action::Reveal);
        workspace.act_all(reveal.into_iter().chain([Action::Name { causes }]).collect());
    };
    view! {
        <Evidence lesson=lesson.clone() />
        <fieldset class="ask" data-testid="drill">
            <legend>
                <p>{text(Key::CauseAsk)}</p>
            </legend>
            <ul class="causes">{rows}</ul>
            <div class="row-tools">
                <button
                    type="button"
                    class="run-button"
                    data-testid="name-causes"
                    disabled=move || ticked.read().is_empty()
                    on:click=move |_| name()
                >
                    {text(Key::NameCauses)}
                </button>
            </div>
            <Reply lesson />
        </fieldset>
    }
}

/// A cause that can be ticked. That nothing is wrong goes with nothing else.
#[component]
fn CauseRow(cause: &'static str, ticked: RwSignal<Vec<NamedCause>>) -> impl IntoView {
    let workspace = workspace();
    let is_on = Memo::new(move |_| ticked.read().iter().any(|c| c.cause == cause));
    let tick = move |on: bool| {
        ticked.update(|all| {
            let nothing = cause == NOTHING_WRONG;
            all.retain(|c| c.cause != cause && (!on || (c.cause == NOTHING_WRONG) == nothing));
            if on {
                all.push(NamedCause { cause: cause.into(), by: None });
            }
        });
    };
    let choose = move |value: String| {
        ticked.update(|all| {
            for named in all.iter_mut().filter(|c| c.cause == cause) {
                named.by = evidence::all(&workspace.state_untracked())
                    .find(|by| evidence::id(*by) == value);
            }
        });
    };
    let chosen = move || {
        let by = ticked.read().iter().find(|c| c.cause == cause).and_then(|c| c.by);
        by.map_or_else(String::new, evidence::id)
    };
    let there = Memo::new(move |_| evidence::all(&workspace.state()).collect::<Vec<_>>());
    let option = |by: session::Evidence| {
        view! { <option value=evidence::id(by)>{evidence::name(by)}</option> }
    };
    let options = move || there.get().into_iter().map(option).collect_view();
    view! {
        <li>
            <label class="cause">
                <input
                    type="checkbox"
                    data-testid=format!("cause-{cause}")
                    prop:checked=is_on
                    on:change:target=move |event| tick(event.target().checked())
                />
                <span>{says(cause)}</span>
            </label>
            <Show when=move || is_on.get()>
                <label class="pick by">
                    <span>{text(Key::SpeaksForIt)}</span>
                    <select
                        data-testid=format!("by-{cause}")
                        prop:value=chosen
                        on:change:target=move |event| choose(event.target().value())
                    >
                        <option value="">{text(Key::ChooseEvidence)}</option>
                        {options}
                    </select>
                </label>
            </Show>
        </li>
    }
}

/// What was right and wrong in what was named last.
#[component]
fn Reply(lesson: Arc<Lesson>) -> impl IntoView {
    let workspace = workspace();
    let judged = Memo::new(move |_| {
        let state = workspace.state();
        state.named.last().map(|named| lesson.judged(named))
    });
    let wrong = |cause: &JudgedCause| {
        let kind = fault_kind(&cause.cause).filter(|_| !cause.right)?;
        let says = if cause.follows {
            format(Key::CauseFollows, &[kind.says])
        } else {
            format(Key::CauseOther, &[kind.says, kind.sign])
        };
        Some(view! { <p class="fact">{says}</p> })
    };
    let reply = move || {
        let judged = judged.get()?;
        let counts = [judged.right(), judged.wrong(), judged.missing].map(|n| n.to_string());
        let counts = format(Key::NamedCounts, &[&counts[0], &counts[1], &counts[2]]);
        Some(view! {
            <p>{counts}</p>
            {judged.causes.iter().map(wrong).collect_view()}
        })
    };
    view! { <div role="status" data-testid="named">{reply}</div> }
}

/// What was wrong and what the evidence told, and the mends by what hands do.
#[component]
pub(super) fn Mends(lesson: Arc<Lesson>) -> impl IntoView {
    let workspace = workspace();
    let judged = workspace.with_session(|s| lesson.judged_with_evidence(s));
    let found = judged.map(|judged| judged.causes.iter().map(found).collect_view());
    let row = |by: Mend| view! { <MendRow lesson=lesson.clone() by /> };
    let rows = Mend::all().map(row).collect_view();
    view! {
        <Clock lesson=lesson.clone() />
        <ul class="evidence" data-testid="sign">{found}</ul>
        <fieldset class="ask" data-testid="mends">
            <legend>
                <p>{text(Key::MendAsk)}</p>
            </legend>
            <ul class="causes">{rows}</ul>
        </fieldset>
    }
}

/// A cause that was found: how it shows, and what the evidence pointed at told it from.
fn found(cause: &JudgedCause) -> impl IntoView + use<> {
    let sign = fault_kind(&cause.cause).map(|kind: &FaultKind| kind.sign);
    let told = match (&cause.by, cause.told_from.as_slice()) {
        _ if cause.follows => format(Key::CauseFollows, &[says(&cause.cause)]),
        (None, _) => text(Key::NoEvidence).to_owned(),
        (Some(by), []) => format(Key::EvidenceTellsNothing, &[&evidence::name(*by)]),
        (Some(by), told) => {
            let told: Vec<_> = told.iter().map(|cause| says(cause)).collect();
            format(Key::EvidenceTells, &[&evidence::name(*by), &told.join("; ")])
        }
    };
    view! {
        <li>
            <p>
                <b>{says(&cause.cause)}</b>
            </p>
            <p class="fact">{sign}</p>
            <p class="fact">{told}</p>
        </li>
    }
}

/// A mend with its minutes, and what came of it.
#[component]
fn MendRow(lesson: Arc<Lesson>, by: Mend) -> impl IntoView {
    let workspace = workspace();
    let reply = Memo::new(move |_| {
        workspace.track_session();
        let needed = workspace.with_session(|s| lesson.was_needed(s, by))?;
        Some(text(if needed { Key::MendRight } else { Key::MendOther }))
    });
    view! {
        <li>
            <button
                type="button"
                data-testid=format!("mend-{}", by.name())
                on:click=move |_| {
                    workspace.act_by_hand([Action::Mend { by }]);
                }
            >
                {with_minutes(by.says(), by.minutes())}
            </button>
            <p class="fact" role="status">{reply}</p>
        </li>
    }
}
