//! The record of the course, on one page: lessons, scores, misses, skills, and the cautions. It can be
//! printed, saved as a file and opened again.

use super::files::download;
use super::printing::{Printed, print_only};
use crate::app::controls::{ChosenText, ColumnHead, FileButton, Group, Note, or_dash};
use crate::app::guide::certainty_name;
use crate::app::i18n::{Key, format, text, words};
use crate::app::lessons::{Course, SkillRow, course, day_text, today, unreadable_records};
use crate::app::logic::number::signed_length;
use crate::app::run::safety_text;
use crate::app::settings::settings;
use crate::app::storage;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::coach::RuleName;
use nudgeproof::lesson::{
    Calibration, LessonRecord, RecordBook, Tally, TestTime, due, lesson, records_to_csv,
    test_result,
};
use nudgeproof::session::Certainty;

const RECORDS_FILE: &str = "nudgeproof-record.json";
const TABLE_FILE: &str = "nudgeproof-record.csv";
const UNREADABLE_FILE: &str = "nudgeproof-record-unreadable.txt";

/// What is kept of one lesson over all its attempts.
struct LessonSummary {
    name: String,
    title: String,
    latest: LessonRecord,
    best: u8,
    attempts: usize,
}

/// Name of the line that sums up all items of refreshers.
const REFRESHER_ITEMS: &str = "#";

/// One line for each lesson, in the order in which they were first taken; items of refreshers, whose
/// names hold a `#`, share one. `own_title` knows the titles of lessons from disk.
fn summaries(
    records: &[LessonRecord],
    own_title: impl Fn(&str) -> Option<String>,
) -> Vec<LessonSummary> {
    let mut all: Vec<LessonSummary> = Vec::new();
    for record in records.iter().filter(|r| TestTime::of(&r.lesson).is_none()) {
        let name = if record.lesson.contains('#') { REFRESHER_ITEMS } else { &record.lesson };
        if let Some(line) = all.iter_mut().find(|l| l.name == name) {
            line.best = line.best.max(record.score);
            line.attempts += 1;
            line.latest = record.clone();
            continue;
        }
        let title = match name {
            REFRESHER_ITEMS => Some(text(Key::RefresherItems).to_owned()),
            _ => lesson(name).map(|l| l.title.clone()).or_else(|| own_title(name)),
        };
        all.push(LessonSummary {
            name: name.to_owned(),
            title: title.unwrap_or_else(|| name.to_owned()),
            latest: record.clone(),
            best: record.score,
            attempts: 1,
        });
    }
    all
}

const HEADS: [Key; 7] = [
    Key::ColLesson,
    Key::ColDay,
    Key::ColAttempts,
    Key::ColBest,
    Key::ColLatest,
    Key::ColWorst,
    Key::ColFindings,
];

/// The record of the course.
#[component]
pub(super) fn CourseRecord() -> impl IntoView {
    view! {
        <section
            class="course-record"
            data-testid="course-record"
            aria-labelledby="course-record"
        >
            <h2 id="course-record">{text(Key::CourseRecord)}</h2>
            <Unreadable />
            <PutAside />
            <RecordHead />
            <LessonTable />
            <Tests />
            <h3>{text(Key::Skills)}</h3>
            <Note>{text(Key::SkillsNote)}</Note>
            <Skills />
            <h3>{text(Key::SureHead)}</h3>
            <Note>{text(Key::SureNote)}</Note>
            <HowSureHowRight />
            <div class="only-printed" data-testid="printed-cautions">
                <p>
                    <b>{text(Key::NoLicence)}</b>
                </p>
                {safety_text().map(|paragraph| view! { <p>{paragraph}</p> })}
            </div>
            <RecordTools />
        </section>
    }
}

/// Shown while records in this browser cannot be read: why, and a way to save their text.
#[component]
fn Unreadable() -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let save = move |_| download(workspace, UNREADABLE_FILE, &unreadable_records().join("\n"));
    view! {
        <ShowLet some=move || course.unreadable.get() let:why>
            <div class="banner" role="alert" data-testid="records-unreadable">
                <span>{why}</span>
                <button type="button" data-testid="save-unreadable" on:click=save>
                    {text(Key::SaveAside)}
                </button>
            </div>
        </ShowLet>
    }
}

/// Shown while records are put aside that can be read: a way to bring them back.
#[component]
fn PutAside() -> impl IntoView {
    let course = course();
    let any = RwSignal::new(Course::any_aside());
    let bring_back = move |_| {
        course.bring_back();
        any.set(Course::any_aside());
    };
    view! {
        <Show when=move || any.get()>
            <div class="banner" role="status" data-testid="records-aside">
                <span>{text(Key::RecordsAside)}</span>
                <button type="button" data-testid="bring-back-records" on:click=bring_back>
                    {text(Key::BringBack)}
                </button>
            </div>
        </Show>
    }
}

/// The learner's name, and the day.
#[component]
fn RecordHead() -> impl IntoView {
    let name = RwSignal::new(storage::learner().unwrap_or_default());
    let settings = settings();
    Effect::watch(
        move || name.get(),
        move |name, _, _| settings.store(storage::LEARNER, name),
        false,
    );
    view! {
        <p class="record-head">
            <label>
                <span>{text(Key::LearnerName)}</span>
                <input
                    type="text"
                    autocomplete="name"
                    maxlength="60"
                    data-testid="learner-name"
                    bind:value=name
                />
            </label>
            <span data-testid="record-date">{format(Key::RecordDate, &[&day_text(today())])}</span>
        </p>
    }
}

/// A line for each lesson taken.
#[component]
fn LessonTable() -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let own_title = move |name: &str| {
        let all = workspace.own_lessons.read();
        all.iter().find(|l| l.name == name).map(|l| l.title.clone())
    };
    let rows = move || {
        summaries(&course.records.read(), own_title).into_iter().map(summary_row).collect_view()
    };
    view! {
        <Show
            when=move || {
                course.records.read().iter().any(|r| TestTime::of(&r.lesson).is_none())
            }
            fallback=|| view! { <p class="empty" data-testid="no-records">{text(Key::NoRecords)}</p> }
        >
            <div class="table-holder" tabindex="0" role="region" aria-label=text(Key::CourseRecord)>
                <table class="readings" data-testid="records">
                    <thead>
                        <tr>{HEADS.map(|h| view! { <ColumnHead>{format(h, &[])}</ColumnHead> })}</tr>
                    </thead>
                    <tbody>{rows}</tbody>
                </table>
            </div>
        </Show>
    }
}

fn summary_row(line: LessonSummary) -> impl IntoView {
    let latest = &line.latest;
    let found = latest.attempt.findings.iter().filter_map(|f| f.parse::<RuleName>().ok());
    let titles: Vec<_> = found.map(|rule| rule.title(words())).collect();
    let cells = [
        day_text(latest.day),
        line.attempts.to_string(),
        line.best.to_string(),
        latest.score.to_string(),
        or_dash(latest.miss_mm.map(|mm| signed_length(mm, 2))),
        or_dash((!titles.is_empty()).then(|| titles.join("; "))),
    ];
    view! {
        <tr data-testid=format!("record-{}", line.name)>
            <th scope="row">{line.title}</th>
            {cells.map(|cell| view! { <td>{cell}</td> })}
        </tr>
    }
}

/// How the tests before and after the course came out; nothing while none was taken.
#[component]
fn Tests() -> impl IntoView {
    let course = course();
    let line = move |(time, key): (TestTime, Key)| {
        let result = test_result(&course.records.read(), time)?;
        let says = format(Key::TestResult, &[&result.right.to_string(), &result.of.to_string()]);
        Some(view! {
            <p data-testid=format!("result-test-{}", time.name())>
                <b>{text(key)}</b>
                ": "
                {says}
            </p>
        })
    };
    move || {
        [(TestTime::Before, Key::TestBefore), (TestTime::After, Key::TestAfter)]
            .map(line)
            .collect_view()
    }
}

/// How every skill stands.
#[component]
fn Skills() -> impl IntoView {
    let course = course();
    let skills = move || {
        let mut all = due(&course.records.read(), today());
        all.sort_by_key(|d| d.skill);
        all.into_iter().map(|due| view! { <SkillRow due /> }).collect_view()
    };
    view! {
        <ul class="skills" data-testid="skills">
            {skills}
        </ul>
    }
}

/// All predictions of all attempts: how sure the learner was, and how often that was right.
#[component]
fn HowSureHowRight() -> impl IntoView {
    let course = course();
    let all = Memo::new(move |_| {
        let mut all = Calibration::default();
        course.records.read().iter().for_each(|record| all += record.predictions);
        all
    });
    let row = |(certainty, tally): (Certainty, Tally)| {
        let Tally { said, right } = tally;
        view! {
            <tr data-testid=format!("sure-{}", certainty.name())>
                <th scope="row">{text(certainty_name(certainty))}</th>
                <td>{said}</td>
                <td>{right}</td>
                <td>
                    <meter
                        class="sure-bar"
                        min="0"
                        max=said.max(1).to_string()
                        value=right.to_string()
                        aria-hidden="true"
                    ></meter>
                </td>
            </tr>
        }
    };
    let rows = move || all.read().rows().map(row).collect_view();
    let heads = [Key::ColSure, Key::ColSaid, Key::ColCameTrue];
    view! {
        <Show
            when=move || !all.read().is_empty()
            fallback=|| view! { <p class="empty">{text(Key::SureNone)}</p> }
        >
            <table class="readings sure-table" data-testid="sure-table">
                <thead>
                    <tr>
                        {heads.map(|h| view! { <ColumnHead>{text(h)}</ColumnHead> })}
                        <td></td>
                    </tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
        </Show>
    }
}

/// Print, save, open, forget.
#[component]
fn RecordTools() -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let none = move || course.records.read().is_empty();
    let save = move |_| {
        let book =
            RecordBook { learner: storage::learner(), records: course.records.get_untracked() };
        download(workspace, RECORDS_FILE, &book.to_json());
    };
    let save_table = move |_| {
        download(workspace, TABLE_FILE, &records_to_csv(&course.records.read_untracked()));
    };
    let open = move |(name, content): ChosenText| match content
        .and_then(|c| RecordBook::from_json(&c).map_err(|e| e.to_string()))
    {
        Ok(RecordBook { records, .. }) => {
            let count = records.len().to_string();
            if course.keep(records) {
                workspace.notify(format(Key::RecordsOpened, &[&count, &name]));
            }
        }
        Err(why) => workspace.warn(format(Key::NotImported, &[&name, &why])),
    };
    // A second press is needed: forgotten records cannot be restored.
    let sure = RwSignal::new(false);
    let forget = move |_| {
        if sure.get_untracked() {
            course.forget();
        }
        sure.update(|s| *s = !*s);
    };
    view! {
        <Group class="files" name=text(Key::CourseRecord)>
            <button
                type="button"
                data-testid="print-record"
                class="run-button"
                on:click=|_| print_only(Printed::Course)
            >
                {text(Key::PrintCourse)}
            </button>
            <button type="button" data-testid="save-records" disabled=none on:click=save>
                {text(Key::SaveRecords)}
            </button>
            <button type="button" data-testid="save-records-csv" disabled=none on:click=save_table>
                {text(Key::SaveRecordsCsv)}
            </button>
            <FileButton test_id="open-records" accept=".json,application/json" on_read=open>
                {text(Key::OpenRecords)}
            </FileButton>
            <Show when=move || !none()>
                <button type="button" class="quiet" data-testid="forget-records" on:click=forget>
                    {move || text(if sure.get() { Key::ForgetSure } else { Key::ForgetRecords })}
                </button>
            </Show>
        </Group>
    }
}
