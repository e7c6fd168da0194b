//! The record: what was done, how it went, and files to keep.

mod course_record;
mod files;
mod findings;
mod runs;
mod saves;

pub(crate) use files::download_session;

use super::i18n::{Key, text};
use super::run::safety_text;
use super::workspace::workspace;
use course_record::CourseRecord;
use files::Files;
use findings::CoachFindings;
use leptos::prelude::*;
use runs::Runs;
use saves::Saves;

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
