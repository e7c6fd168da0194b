use super::hints::{HintButton, OpenHints};
use super::markdown::Markdown;
use crate::app::i18n::{Key, format, say, text, words};
use crate::app::logic::number::length;
use crate::app::logic::playback::Playback;
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::coach::{self, CostKnown, Finding, Severity};
use nudgeproof::session::Action;

/// How long before the moment of a finding the playback begins, s.
const LEAD: f64 = 3.0;
/// How long after it the playback ends, s.
const TAIL: f64 = 0.5;

fn weight_class(weight: Severity) -> &'static str {
    match weight {
        Severity::Ruins => "finding ruins",
        Severity::Misses => "finding misses",
        Severity::Sloppy => "finding sloppy",
    }
}

fn weight_text(weight: Severity) -> &'static str {
    text(match weight {
        Severity::Ruins => Key::WeightRuins,
        Severity::Misses => Key::WeightMisses,
        Severity::Sloppy => Key::WeightSloppy,
    })
}

/// What a finding costs, in a sentence.
fn cost(f: &Finding) -> Option<String> {
    let [both, mm, event] = match f.cost.known {
        CostKnown::Happened => [Key::CostBoth, Key::CostMm, Key::CostEvent],
        CostKnown::Rehearsed => [Key::WouldCostBoth, Key::WouldCostMm, Key::WouldCostEvent],
        // There is an event alone.
        CostKnown::NotYet => [Key::CostNotYet; 3],
    };
    match (&f.cost.mm, &f.cost.event) {
        (Some(v), Some(what)) => Some(format(both, &[&length(*v, 1), &say(what)])),
        (Some(v), None) => Some(format(mm, &[&length(*v, 1)])),
        (None, Some(what)) => Some(format(event, &[&say(what)])),
        (None, None) => None,
    }
}

/// A finding in one line, for the record.
pub(crate) fn finding_line(f: &Finding) -> String {
    match cost(f) {
        Some(c) => format!("{} {c}", say(&f.message)),
        None => say(&f.message),
    }
}

/// Plays the moment a finding is about.
fn play_moment(workspace: Workspace, run: usize, time: f64) {
    let state = workspace.state_untracked();
    let Some(log) = run.checked_sub(1).and_then(|i| state.runs.get(i)) else { return };
    let until = (time + TAIL).min(log.duration);
    workspace.rate.set(1.0);
    workspace.playback.set(Some(Playback::play(run - 1, (time - LEAD).max(0.0), until)));
}

/// Mends a finding in the session as it is now.
fn mend(workspace: Workspace, finding: &Finding) {
    let Some(mut actions) = workspace.with_session(|s| coach::mend(s, finding)) else { return };
    // The run that comes next is a trial.
    let reference = actions.iter().any(|a| matches!(a, Action::SetReference { on: true }));
    actions.push(Action::Mended { rule: finding.rule.to_string() });
    if workspace.act_all(actions) {
        // The run on show is past: the sheet shows what has been mended.
        workspace.playback.set(None);
        if reference {
            workspace.arc.set(false);
        }
        workspace.notify(format(Key::MendedIt, &[&finding.rule.title(words())]));
    }
}

/// One finding: rule, message, cost, why, hints, and buttons to mend it, to see its step and its
/// moment.
#[component]
pub(super) fn FindingCard(
    /// The finding; rule, step and moment stay the same.
    finding: Memo<Finding>,
    /// Open when it appears.
    open: bool,
) -> impl IntoView {
    let workspace = workspace();
    let (name, step, moment) = finding.with_untracked(|f| (f.rule, f.step, f.run.zip(f.time_s)));
    let rule = coach::rule(name);
    let open_hints = Memo::new(move |_| {
        let hints = &workspace.state().hints;
        let levels =
            hints.iter().filter(|(rule, _)| *rule == *name.to_string()).map(|(_, level)| *level);
        levels.max().map_or(0, usize::from)
    });
    let next_hint = move || {
        let hint_level = open_hints.get_untracked() as u8 + 1;
        workspace.act(Action::Hint { rule: name.to_string(), hint_level });
    };
    // The page of the rule is laid out when somebody asks for it: most cards stay closed.
    let asked_why = RwSignal::new(false);
    let can_mend = Memo::new(move |_| finding.with(|f| f.can_mend));
    let show_step = step.map(|id| {
        view! {
            <button
                type="button"
                data-testid="finding-step"
                on:click=move |_| workspace.cursor.set(Some(id))
            >
                {text(Key::ShowStep)}
            </button>
        }
    });
    let show_moment = moment.map(|(run, time)| {
        view! {
            <button
                type="button"
                data-testid="finding-moment"
                on:click=move |_| play_moment(workspace, run, time)
            >
                {text(Key::ShowMoment)}
            </button>
        }
    });
    view! {
        <details
            class=move || weight_class(finding.read().weight)
            open=open
            data-testid=format!("finding-{name}")
            data-cost-mm=move || finding.read().cost.mm.map(|mm| mm.to_string())
        >
            <summary>
                <span class="sign" aria-hidden="true"></span>
                <span class="finding-title">{rule.name.title(words())}</span>
                <span class="weight">{move || weight_text(finding.read().weight)}</span>
            </summary>
            <p class="message">{move || say(&finding.read().message)}</p>
            {move || {
                cost(&finding.read()).map(|cost| view! { <p class="cost" data-testid="cost">{cost}</p> })
            }}
            <div class="row-tools">
                <HintButton test_id="finding-hint" open=open_hints next=next_hint />
                {show_step}
                {show_moment}
                <Show when=move || can_mend.get()>
                    <button
                        type="button"
                        data-testid="finding-mend"
                        on:click=move |_| mend(workspace, &finding.get_untracked())
                    >
                        {text(Key::MendIt)}
                    </button>
                </Show>
            </div>
            <p>{rule.name.asks(words())}</p>
            <OpenHints hints=rule.name.hints(words()) open=open_hints />
            <details class="why" on:toggle=move |_| asked_why.set(true)>
                <summary>{text(Key::Why)}</summary>
                <Show when=move || asked_why.get()>
                    <Markdown text=rule.page.to_owned() />
                </Show>
            </details>
        </details>
    }
}
