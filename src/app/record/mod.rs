//! The record: what was done, how it went, and files to keep.

mod class_record;
mod course_record;
mod files;
mod findings;
mod house_rules;
mod printing;
mod runs;
mod saves;

pub(crate) use files::{download, download_session};
pub(crate) use runs::{run_cells, run_heads};

use super::chart::Charts;
use super::i18n::{Key, text};
use super::readings::Readings;
use super::run::safety_text;
use super::sheet::Hatches;
use super::workspace::workspace;
use class_record::ClassRecord;
use course_record::CourseRecord;
use files::Files;
use findings::CoachFindings;
use house_rules::JudgedBy;
use leptos::prelude::*;
use printing::{Printed, print_only};
use runs::Runs;
use saves::Saves;

/// The place of the record: the course, then the session, and beside them what to keep.
#[component]
pub(crate) fn RecordPlace() -> impl IntoView {
    view! {
        <div class="page record" data-testid="record">
            <h1>{text(Key::PlaceRecord)}</h1>
            <div class="record-main">
                <CourseRecord />
                <SessionRecord />
            </div>
            <div class="record-side">
                <Files />
                <Saves />
                <section class="caution-box" aria-labelledby="record-cautions">
                    <h2 id="record-cautions">{text(Key::CellSafety)}</h2>
                    {safety_text().map(|paragraph| view! { <p>{paragraph}</p> })}
                </section>
            </div>
            <ClassRecord />
        </div>
    }
}

/// What the session holds: runs, charts of the last one, and what the coach says.
#[component]
fn SessionRecord() -> impl IntoView {
    let workspace = workspace();
    view! {
        <section
            class="session-record"
            data-testid="session-record"
            aria-labelledby="session-record"
        >
            <div class="section-head">
                <h2 id="session-record">{text(Key::ThisSession)}</h2>
                <p>{move || workspace.part().title.clone()}</p>
                <button
                    type="button"
                    class="no-print"
                    data-testid="print-session"
                    on:click=|_| print_only(Printed::Session)
                >
                    {text(Key::PrintSession)}
                </button>
            </div>
            <Runs />
            <Show when=move || !workspace.runs.read().is_empty()>
                <h3>{text(Key::Readings)}</h3>
                <div
                    class="table-holder"
                    tabindex="0"
                    role="region"
                    aria-label=text(Key::Readings)
                >
                    <Readings />
                </div>
            </Show>
            // The hatches of the charts.
            <svg class="visually-hidden" aria-hidden="true">
                <Hatches />
            </svg>
            <Show when=move || !workspace.runs.read().is_empty()>
                <Charts />
            </Show>
            <h3>{text(Key::Coach)}</h3>
            <JudgedBy />
            <CoachFindings />
        </section>
    }
}
