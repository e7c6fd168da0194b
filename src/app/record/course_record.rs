//! The record of the course, on one page: lessons, scores, misses, skills, and the cautions. It can be
//! printed, saved as a file and opened again.

use super::mastery::skill_row;
use crate::app::desk::{Desk, desk};
use crate::app::lessons::{Course, course, day_text, put_aside, today};
use crate::app::live::when;
use crate::app::logic::number::signed_length;
use crate::app::run::safety_text;
use crate::app::screen::set_root;
use crate::app::store::{self, ChosenFile};
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::coach;
use nudgeproof::data::sort_short;
use nudgeproof::lesson::{LessonRecord, due, lesson, records_from_json, records_to_json};

const FILE_NAME: &str = "nudgeproof-record.json";
const ASIDE_NAME: &str = "nudgeproof-record-unreadable.txt";
const LEARNER: &str = "learner";

/// What is kept of one lesson over all its attempts.
struct Line {
    name: String,
    title: String,
    latest: LessonRecord,
    best: u8,
    attempts: usize,
}

/// One line for each lesson, in the order in which they were first taken; single stages of a
/// refresher together.
fn lines(records: &[LessonRecord], own: impl Fn(&str) -> Option<String>) -> Vec<Line> {
    let mut all: Vec<Line> = Vec::new();
    for r in records {
        let name = if r.lesson.contains('#') { "#" } else { &r.lesson };
        if let Some(line) = all.iter_mut().find(|l| l.name == name) {
            line.best = line.best.max(r.score);
            line.attempts += 1;
            line.latest = r.clone();
            continue;
        }
        let title = match name {
            "#" => Some(say(Word::RefresherItems).to_owned()),
            _ => lesson(name).map(|l| l.title.clone()).or_else(|| own(name)),
        };
        let title = title.unwrap_or_else(|| name.to_owned());
        all.push(Line {
            name: name.to_owned(),
            title,
            latest: r.clone(),
            best: r.score,
            attempts: 1,
        });
    }
    all
}

fn row(line: &Line) -> AnyView {
    let latest = &line.latest;
    let found: Vec<_> = latest.attempt.findings.iter().filter_map(|f| coach::rule(f)).collect();
    let titles: Vec<&str> = found.iter().map(|r| r.title).collect();
    let misses = if titles.is_empty() { "–".to_owned() } else { titles.join("; ") };
    let miss = latest.miss_mm.map_or_else(|| "–".to_owned(), |mm| signed_length(mm, 2));
    let cells = [
        day_text(latest.day),
        line.attempts.to_string(),
        line.best.to_string(),
        latest.score.to_string(),
        miss,
        misses,
    ];
    view! {
        <tr data-testid=format!("record-{}", line.name)>
            <th scope="row">{line.title.clone()}</th>
            {cells.into_iter().map(|c| view! { <td>{c}</td> }).collect_view()}
        </tr>
    }
    .into_any()
}

const HEADS: [Word; 7] = [
    Word::ColLesson,
    Word::ColDay,
    Word::ColAttempts,
    Word::ColBest,
    Word::ColLatest,
    Word::ColWorst,
    Word::ColFindings,
];

/// The record of the course.
#[component]
pub(super) fn CourseRecord() -> impl IntoView {
    let (desk, course) = (desk(), course());
    let table = move || {
        let records = course.records.read();
        if records.is_empty() {
            return view! { <p class="empty" data-testid="no-records">{say(Word::NoRecords)}</p> }
                .into_any();
        }
        let own = |name: &str| {
            let all = desk.own_lessons.read();
            all.iter().find(|l| l.name == name).map(|l| l.title.clone())
        };
        let rows: Vec<_> = lines(&records, own).iter().map(row).collect();
        view! {
            <div class="table-holder" tabindex="0" role="region" aria-label=say(Word::CourseRecord)>
                <table class="readings" data-testid="records">
                    <thead><tr>{HEADS.map(|h| view! { <th scope="col">{tell(h, &[])}</th> })}</tr></thead>
                    <tbody>{rows}</tbody>
                </table>
            </div>
        }
        .into_any()
    };
    let skills = move || {
        let mut all = due(&course.records.read(), today());
        sort_short(&mut all, |a, b| a.skill < b.skill);
        all.iter().map(skill_row).collect_view()
    };
    let name = RwSignal::new(store::setting(LEARNER).unwrap_or_default());
    let date = day_text(today());
    view! {
        <section class="course-record" data-testid="course-record" aria-labelledby="course-record">
            <h2 id="course-record">{say(Word::CourseRecord)}</h2>
            <Unreadable course=course desk=desk/>
            <p class="record-head">
                <label>
                    <span>{say(Word::LearnerName)}</span>
                    <input type="text" autocomplete="name" maxlength="60" data-testid="learner-name"
                        prop:value=move || name.get()
                        on:input:target=move |event| {
                            let typed = event.target().value();
                            store::set_setting(LEARNER, &typed);
                            name.set(typed);
                        }/>
                </label>
                <span data-testid="record-date">{tell(Word::RecordDate, &[&date])}</span>
            </p>
            {table}
            <h3>{say(Word::Skills)}</h3>
            <p class="fine">{say(Word::SkillsNote)}</p>
            <ul class="skills" data-testid="skills">{skills}</ul>
            <div class="only-printed" data-testid="printed-cautions">
                <p><b>{say(Word::NoLicence)}</b></p>
                {safety_text().map(|p| view! { <p>{p}</p> })}
            </div>
            <Tools course=course desk=desk/>
        </section>
    }
}

/// What could not be read, and what to do about it.
#[component]
fn Unreadable(course: Course, desk: Desk) -> impl IntoView {
    move || {
        let why = course.unreadable.get()?;
        let save = move |_| {
            if store::download(ASIDE_NAME, &put_aside().join("\n")).is_err() {
                desk.tell_grave(say(Word::NotExported).into());
            }
        };
        Some(view! {
            <div class="banner" role="alert" data-testid="records-unreadable">
                <span>{why}</span>
                <button type="button" data-testid="save-unreadable" on:click=save>{say(Word::SaveAside)}</button>
            </div>
        })
    }
}

/// Print, save, open, forget.
#[component]
fn Tools(course: Course, desk: Desk) -> impl IntoView {
    let file = ChosenFile::new();
    let none = move || course.records.read().is_empty();
    let print = move |_| {
        set_root("data-print", "course");
        if let Some(window) = web_sys::window() {
            // A browser that cannot print says so itself.
            let _ = window.print();
        }
        set_root("data-print", "");
    };
    let save = move |_| {
        let text = records_to_json(&course.records.read_untracked());
        if store::download(FILE_NAME, &text).is_err() {
            desk.tell_grave(say(Word::NotExported).into());
        }
    };
    let open = move |event: web_sys::Event| {
        file.read(&event, move |name, text| {
            match text.and_then(|t| records_from_json(&t).map_err(|e| e.to_string())) {
                Ok(more) => {
                    let n = more.len().to_string();
                    course.keep(more);
                    desk.tell(tell(Word::RecordsOpened, &[&n, name]));
                }
                Err(why) => desk.tell_grave(tell(Word::NotImported, &[name, &why])),
            }
        });
    };
    // Asked twice: what is forgotten is gone.
    let sure = RwSignal::new(false);
    view! {
        <div class="files" role="group" aria-label=say(Word::CourseRecord)>
            <button type="button" class="run-button" data-testid="print-record" on:click=print>{say(Word::PrintCourse)}</button>
            <button type="button" data-testid="save-records" disabled=none on:click=save>{say(Word::SaveRecords)}</button>
            <label class="button">
                <span>{say(Word::OpenRecords)}</span>
                <input type="file" class="visually-hidden" accept=".json,application/json"
                    data-testid="open-records" on:change=open/>
            </label>
            {when(move || !none(), move || view! {
                <button type="button" data-testid="forget-records" on:click=move |_| {
                    if sure.get_untracked() {
                        course.forget();
                    }
                    sure.update(|s| *s = !*s);
                }>{move || say(if sure.get() { Word::ForgetSure } else { Word::ForgetRecords })}</button>
            }.into_any())}
        </div>
    }
}
