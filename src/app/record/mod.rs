//! The record: what was done, how it went, and files to keep.

mod course_record;
mod files;
mod saves;

pub(crate) use files::download_session;

use super::controls::ColumnHead;
use super::guide::{SessionScore, finding_line, rule_title};
use super::i18n::{Key, format, text};
use super::logic::describe::run_kind;
use super::logic::nudge::Nudge;
use super::logic::number::{signed, signed_length, unit};
use super::logic::shown::{Verdict, found_offset, verdict};
use super::run::safety_text;
use super::workspace::workspace;
use course_record::CourseRecord;
use files::Files;
use leptos::prelude::*;
use nudgeproof::coach::Review;
use nudgeproof::routine::{RunLog, RunSpeed};
use saves::Saves;
use std::sync::Arc;

/// The place of the record: the course, then the session.
#[component]
pub(crate) fn RecordPlace() -> impl IntoView {
    let workspace = workspace();
    view! {
        <div class="page record" data-testid="record">
            <h1>{text(Key::PlaceRecord)}</h1>
            <CourseRecord />
            <h2>{text(Key::ThisSession)}</h2>
            <p class="lead">{move || workspace.part().title.clone()}</p>
            <Files />
            <Saves />
            <h2>{text(Key::Runs)}</h2>
            <Runs />
            <h2>{text(Key::Coach)}</h2>
            <CoachFindings />
            <h2>{text(Key::SafetyTitle)}</h2>
            <div class="caution-box">
                {safety_text().map(|paragraph| view! { <p>{paragraph}</p> })}
            </div>
        </div>
    }
}

/// What was run, a line for each run.
#[component]
fn Runs() -> impl IntoView {
    let workspace = workspace();
    let heads = [
        text(Key::Run).to_owned(),
        text(Key::ColKind).to_owned(),
        text(Key::Speed).to_owned(),
        text(Key::ColArc).to_owned(),
        text(Key::ColOffset).to_owned(),
        text(Key::ColEnd).to_owned(),
        format(Key::ColWorst, &[]),
    ];
    let heads = StoredValue::new(heads);
    let rows = move || workspace.runs.get().iter().map(|log| run_row(log)).collect_view();
    view! {
        <Show
            when=move || !workspace.runs.read().is_empty()
            fallback=|| view! { <p class="empty">{text(Key::NoRunYet)}</p> }
        >
            <div class="table-holder" tabindex="0" role="region" aria-label=text(Key::Runs)>
                <table class="readings" data-testid="runs">
                    <thead>
                        <tr>
                            {heads
                                .get_value()
                                .map(|head| view! { <ColumnHead>{head}</ColumnHead> })}
                        </tr>
                    </thead>
                    <tbody>{rows}</tbody>
                </table>
            </div>
        </Show>
    }
}

fn run_row(log: &RunLog) -> impl IntoView + use<> {
    let offset = found_offset(log, f64::MAX).map(|(solved, pose)| {
        let n = Nudge::of(&pose);
        let [dx, dy] = [n.dx, n.dy].map(|mm| signed_length(mm, 2));
        format!("{}: {dx} / {dy} {}, {}°", solved.offset, unit(), signed(n.turn_deg, 2))
    });
    let (end, worst) = match verdict(Some(log), None) {
        Verdict::OnSeam(mm) => (format!("✓ {}", text(Key::VerdictOnSeam)), Some(mm)),
        Verdict::Missed(mm) => (format!("✗ {}", text(Key::VerdictMissed)), Some(mm)),
        Verdict::Stopped(why) => (format!("⬣ {why}"), None),
        Verdict::Paused => (text(Key::VerdictPaused).into(), None),
        _ => (text(Key::VerdictNoWeld).into(), None),
    };
    let speed = match log.speed {
        RunSpeed::Reduced => Key::SpeedReduced,
        RunSpeed::Full => Key::SpeedFull,
    };
    view! {
        <tr>
            <td>{log.number}</td>
            <td>{run_kind(log.kind)}</td>
            <td>{text(speed)}</td>
            <td>{text(if log.arc { Key::On } else { Key::Off })}</td>
            <td>{or_dash(offset)}</td>
            <td>{end}</td>
            <td>{or_dash(worst.map(|mm| signed_length(mm, 2)))}</td>
        </tr>
    }
}

/// What stands in a cell of a table that has no value: a dash.
fn or_dash(value: Option<String>) -> String {
    value.unwrap_or_else(|| "–".to_owned())
}

/// What the coach says of the session, once it has looked at all of it.
#[component]
fn CoachFindings() -> impl IntoView {
    let review = workspace().review;
    review.request();
    let findings = move || match review.last().filter(|_| !review.busy()) {
        Some(review) => view! { <Reviewed review /> }.into_any(),
        None => view! { <p class="empty">{text(Key::CoachStillLooks)}</p> }.into_any(),
    };
    view! {
        <div data-testid="record-coach" aria-busy=move || review.busy().to_string()>
            {findings}
        </div>
    }
}

#[component]
fn Reviewed(review: Arc<Review>) -> impl IntoView {
    let lines = review.findings.iter().map(|finding| {
        view! {
            <li>
                <b>{rule_title(finding.rule)}</b>
                ". "
                {finding_line(finding)}
            </li>
        }
    });
    let lines = lines.collect_view();
    let none = review.findings.is_empty().then(|| view! { <p>{text(Key::NoFindings)}</p> });
    view! {
        <SessionScore score=review.score.clone() />
        <ul class="finding-lines">{lines}</ul>
        {none}
    }
}
