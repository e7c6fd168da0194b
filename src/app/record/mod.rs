//! The record: what was done, how it went, and files to keep.

mod course_record;
mod files;
mod mastery;
mod saves;

pub(crate) use files::hand_out;
pub(crate) use mastery::skill_row;

use super::desk::desk;
use super::guide::{ScoreView, finding_line, rule_title};
use super::logic::describe::run_kind;
use super::logic::nudge::Nudge;
use super::logic::number::{signed, signed_length, unit};
use super::logic::shown::{Verdict, found_offset, verdict};
use super::run::safety_text;
use super::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::routine::{RunLog, RunSpeed};

/// The record of this session.
#[component]
pub(crate) fn RecordPlace() -> impl IntoView {
    let desk = desk();
    let runs = move || {
        let runs = desk.runs.get();
        if runs.is_empty() {
            return view! { <p class="empty">{say(Word::NoRunYet)}</p> }.into_any();
        }
        view! {
            <div class="table-holder" tabindex="0" role="region" aria-label=say(Word::Runs)>
                <table class="readings" data-testid="runs">
                    <thead><tr>
                        <th scope="col">{say(Word::TitleRun)}</th>
                        <th scope="col">{say(Word::ColKind)}</th>
                        <th scope="col">{say(Word::Speed)}</th>
                        <th scope="col">{say(Word::ColArc)}</th>
                        <th scope="col">{say(Word::ColOffset)}</th>
                        <th scope="col">{say(Word::ColEnd)}</th>
                        <th scope="col">{tell(Word::ColWorst, &[])}</th>
                    </tr></thead>
                    <tbody>{runs.iter().map(|log| run_row(log)).collect_view()}</tbody>
                </table>
            </div>
        }
        .into_any()
    };
    let findings = move || {
        let review = desk.review.get();
        view! {
            <ScoreView review=review.clone()/>
            <ul class="finding-lines">
                {review.findings.iter().map(|f| view! {
                    <li><b>{rule_title(f.rule)}</b> ". " {finding_line(f)}</li>
                }).collect_view()}
            </ul>
            {review.findings.is_empty().then(|| view! { <p>{say(Word::NoFindings)}</p> })}
        }
    };
    view! {
        <div class="page record" data-testid="record">
            <h1>{say(Word::PlaceRecord)}</h1>
            <course_record::CourseRecord/>
            <h2>{say(Word::ThisSession)}</h2>
            <p class="lead">{move || desk.part().title.clone()}</p>
            <files::Files/>
            <saves::Saves/>
            <h2>{say(Word::Runs)}</h2>
            {runs}
            <h2>{say(Word::Coach)}</h2>
            {findings}
            <h2>{say(Word::SafetyTitle)}</h2>
            <div class="caution-box">{safety_text().map(|p| view! { <p>{p}</p> })}</div>
        </div>
    }
}

fn run_row(log: &RunLog) -> impl IntoView + use<> {
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
        Verdict::OnSeam(m) => (format!("✓ {}", say(Word::VerdictOnSeam)), Some(m)),
        Verdict::Missed(m) => (format!("✗ {}", say(Word::VerdictMissed)), Some(m)),
        Verdict::Stopped(why) => (format!("⬣ {why}"), None),
        Verdict::Paused => (say(Word::VerdictPaused).into(), None),
        _ => (say(Word::VerdictNoWeld).into(), None),
    };
    let speed = match log.speed {
        RunSpeed::Reduced => Word::SpeedReduced,
        RunSpeed::Full => Word::SpeedFull,
    };
    view! {
        <tr>
            <td>{log.number}</td>
            <td>{run_kind(log.kind)}</td>
            <td>{say(speed)}</td>
            <td>{say(if log.arc { Word::On } else { Word::Off })}</td>
            <td>{offset}</td>
            <td>{end}</td>
            <td>{worst.map_or_else(|| "–".into(), |m| signed_length(m, 2))}</td>
        </tr>
    }
}
