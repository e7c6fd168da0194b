//! The record of the course, on one page: lessons, scores, misses, skills, and the cautions. It can be
//! printed, saved as a file and opened again.

use crate::app::dom::{Part, View, button, column, el, note, when};
use crate::app::i18n::{Key, format, text};
use crate::app::lessons::{Course, course, day_text, put_aside, skill_row, today};
use crate::app::logic::number::signed_length;
use crate::app::run::safety_text;
use crate::app::screen::set_root;
use crate::app::storage::{self, ChosenFile};
use crate::app::workspace::{Workspace, workspace};
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
            "#" => Some(text(Key::RefresherItems).to_owned()),
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

fn row(line: &Line) -> View {
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
    el("tr")
        .test_id(format!("record-{}", line.name))
        .child(el("th").attr("scope", "row").text(line.title.clone()))
        .children(cells.into_iter().map(|c| el("td").text(c)))
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
pub(super) fn course_record() -> View {
    let (workspace, course) = (workspace(), course());
    let table = move || {
        let records = course.records.read();
        if records.is_empty() {
            return el("p").class("empty").test_id("no-records").text(Key::NoRecords);
        }
        let own = |name: &str| {
            let all = workspace.own_lessons.read();
            all.iter().find(|l| l.name == name).map(|l| l.title.clone())
        };
        let rows: Vec<_> = lines(&records, own).iter().map(row).collect();
        el("div")
            .class("table-holder")
            .attr("tabindex", "0")
            .attr("role", "region")
            .attr("aria-label", Key::CourseRecord)
            .child(
                el("table")
                    .class("readings")
                    .test_id("records")
                    .child(
                        el("thead")
                            .child(el("tr").child(HEADS.map(|h| column().text(format(h, &[]))))),
                    )
                    .child(el("tbody").child(rows)),
            )
    };
    let skills = move || {
        let mut all = due(&course.records.read(), today());
        sort_short(&mut all, |a, b| a.skill < b.skill);
        all.iter().map(skill_row).collect::<Vec<_>>()
    };
    let name = RwSignal::new(storage::setting(LEARNER).unwrap_or_default());
    let date = day_text(today());
    el("section")
        .class("course-record")
        .test_id("course-record")
        .attr("aria-labelledby", "course-record")
        .child(el("h2").attr("id", "course-record").text(Key::CourseRecord))
        .child(unreadable(course, workspace))
        .child(
            el("p")
                .class("record-head")
                .child(
                    el("label").child(el("span").text(Key::LearnerName)).child(
                        el("input")
                            .attr("type", "text")
                            .attr("autocomplete", "name")
                            .attr("maxlength", "60")
                            .test_id("learner-name")
                            .on("input", move |event: web_sys::Event| {
                                let typed = event_target_value(&event);
                                storage::set_setting(LEARNER, &typed);
                                name.set(typed);
                            })
                            .value(move || name.get()),
                    ),
                )
                .child(el("span").test_id("record-date").text(format(Key::RecordDate, &[&date]))),
        )
        .child(table)
        .child(el("h3").text(Key::Skills))
        .child(note().text(Key::SkillsNote))
        .child(el("ul").class("skills").test_id("skills").child(skills))
        .child(
            el("div")
                .class("only-printed")
                .test_id("printed-cautions")
                .child(el("p").child(el("b").text(Key::NoLicence)))
                .child(safety_text().map(|p| el("p").text(p))),
        )
        .child(tools(course, workspace))
}

/// What could not be read, and what to do about it.
fn unreadable(course: Course, workspace: Workspace) -> impl Part {
    move || {
        let why = course.unreadable.get()?;
        let save = move || {
            if storage::download(ASIDE_NAME, &put_aside().join("\n")).is_err() {
                workspace.warn(text(Key::NotExported).into());
            }
        };
        Some(
            el("div")
                .class("banner")
                .attr("role", "alert")
                .test_id("records-unreadable")
                .child(el("span").text(why))
                .child(button("save-unreadable").click(save).text(Key::SaveAside)),
        )
    }
}

/// Print, save, open, forget.
fn tools(course: Course, workspace: Workspace) -> View {
    let file = ChosenFile::new();
    let none = move || course.records.read().is_empty();
    let print = || {
        set_root("data-print", "course");
        if let Some(window) = web_sys::window() {
            // A browser that cannot print says so itself.
            let _ = window.print();
        }
        set_root("data-print", "");
    };
    let save = move || {
        let file = records_to_json(&course.records.read_untracked());
        if storage::download(FILE_NAME, &file).is_err() {
            workspace.warn(text(Key::NotExported).into());
        }
    };
    let open = move |event: web_sys::Event| {
        file.read(&event, move |name, text| {
            match text.and_then(|t| records_from_json(&t).map_err(|e| e.to_string())) {
                Ok(more) => {
                    let n = more.len().to_string();
                    course.keep(more);
                    workspace.notify(format(Key::RecordsOpened, &[&n, name]));
                }
                Err(why) => workspace.warn(format(Key::NotImported, &[name, &why])),
            }
        });
    };
    // Asked twice: what is forgotten is gone.
    let sure = RwSignal::new(false);
    el("div")
        .class("files")
        .group(Key::CourseRecord)
        .child(button("print-record").class("run-button").click(print).text(Key::PrintCourse))
        .child(button("save-records").attr("disabled", none).click(save).text(Key::SaveRecords))
        .child(
            el("label").class("button").child(el("span").text(Key::OpenRecords)).child(
                el("input")
                    .class("visually-hidden")
                    .attr("type", "file")
                    .attr("accept", ".json,application/json")
                    .test_id("open-records")
                    .on("change", open),
            ),
        )
        .child(when(
            move || !none(),
            move || {
                button("forget-records")
                    .click(move || {
                        if sure.get_untracked() {
                            course.forget();
                        }
                        sure.update(|s| *s = !*s);
                    })
                    .text(move || if sure.get() { Key::ForgetSure } else { Key::ForgetRecords })
            },
        ))
}
